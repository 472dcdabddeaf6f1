import { requireNumber } from './require-number.ts';

/**
 * E⌊N/J⌋: how often a count by J is expected to come round among the arrivals during one service.
 *
 * For a service without a waiting room that takes every J-th arrival: of those it was to take, 1/(1 + E⌊N/J⌋) find it
 * free. Arrivals come in batches of geometric size with mean g, the batches by chance (Poisson). N counts the rest of the
 * batch to which the served one belongs (geometric from 0, mean g − 1) and all that arrive during its service, so that
 * E N = load + g − 1. With J = 1 that is all; else
 *
 * E⌊N/J⌋ = (E N − E(N mod J))/J, E(N mod J) = (J − 1)/2 + Σ_{h=1}^{J−1} G(ω^h)/(ω^−h − 1), ω = e^{2πi/J},
 *
 * with the generating function G(z) = q/(1 − rz) · exp(load/g·(qz/(1 − rz) − 1)), q = 1/g, r = 1 − q. The terms h and
 * J − h are conjugate. The sum has no cut-off, and its rounding errors stay near 1e-15·J however large the load. Where a
 * multiple is rare the probabilities are added up one by one.
 *
 * Source: the generating function of a compound Poisson number, and the filter by roots of unity, both textbook.
 *
 * @param load arrivals to be expected during one service, at least 0
 * @param every J, whole, at least 1
 * @param batchMean g, at least 1; 1 is one by one
 * @throws RangeError for a number out of range
 *
 * @example
 * expectedMultiples(2.25, 5, 1); // 0.0781
 */
export function expectedMultiples(load: number, every: number, batchMean: number): number {
  requireNumber(load, 'load', 0, Number.MAX_VALUE);
  requireNumber(batchMean, 'batchMean', 1, Number.MAX_VALUE);
  if (!Number.isInteger(every) || every < 1) throw new RangeError(`every is ${String(every)}; expected 1, 2, 3 …`);
  const mean = load + batchMean - 1;
  if (every === 1) return mean;
  const byRoots = multiplesByRoots(load, every, batchMean);
  return byRoots < RARE && load < MOST_DIRECT ? multiplesDirectly(load, every, batchMean) : byRoots;
}

/** Below this the sum by roots of unity has lost digits to cancellation. */
const RARE = 1e-3;
/** Beyond this e^−load is no double; a multiple is not rare there but where J is as large. */
const MOST_DIRECT = 700;

function multiplesByRoots(load: number, every: number, batchMean: number): number {
  const q = 1 / batchMean;
  let remainder = (every - 1) / 2;
  for (let h = 1; 2 * h <= every; h += 1) {
    const term = remainderTerm((2 * Math.PI * h) / every, load * q, q);
    remainder += 2 * h === every ? term : 2 * term;
  }
  return Math.max(0, (load + batchMean - 1 - remainder) / every);
}

/** Σ ⌊k/J⌋·Pr(N = k), the probabilities one from the other: exact where a multiple is rare. */
function multiplesDirectly(load: number, every: number, batchMean: number): number {
  const q = 1 / batchMean;
  const r = 1 - q;
  let arrivals = Math.exp(-load * q);
  let all = q * arrivals;
  let u = 0;
  let v = 0;
  let sum = 0;
  for (let k = 1; ; k += 1) {
    u = r * u + arrivals;
    v = r * v + u;
    arrivals = (load * q * q * v) / k;
    all = r * all + q * arrivals;
    const term = Math.floor(k / every) * all;
    sum += term;
    if (k >= every + load + batchMean && term <= Math.max(1e-18 * sum, 1e-300)) return sum;
  }
}

/** Real part of G(z)/(z̄ − 1) at z = e^{iθ}. */
function remainderTerm(theta: number, batches: number, q: number): number {
  const cos = Math.cos(theta);
  const sin = Math.sin(theta);
  // 1/(1 − rz), then qz/(1 − rz) − 1, each as real and imaginary part.
  const r = 1 - q;
  const norm = (1 - r * cos) ** 2 + (r * sin) ** 2;
  const real = (1 - r * cos) / norm;
  const imaginary = (r * sin) / norm;
  const size = q * Math.exp(batches * (q * (cos * real - sin * imaginary) - 1));
  const angle = batches * q * (cos * imaginary + sin * real);
  const gReal = size * (real * Math.cos(angle) - imaginary * Math.sin(angle));
  const gImaginary = size * (real * Math.sin(angle) + imaginary * Math.cos(angle));
  // 1/(z̄ − 1) = −½ + i·cot(θ/2)/2
  return -gReal / 2 - (gImaginary * sin) / (1 - cos) / 2;
}
