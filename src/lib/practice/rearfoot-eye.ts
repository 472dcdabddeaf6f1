import { connorPairs } from '../stats/paired/connor-pairs.ts';
import { countedShare } from './counted-share.ts';
import type { Mix } from './practice-levels.ts';
import type { AnswerTable, CountedShare, ShareInterval, RearfootEye } from './practice-scores.ts';

/** The shift that a race is planned for unless it says otherwise: the defaults of the plan. */
const PLANNED = { early: 0.79, changed: 0.11, toRearfoot: 0.84 } as const;

/**
 * How well rearfoot is told from anything else: sensitivity, specificity in the mix of the race, Youden's index.
 *
 * Limits of a weighted sum from those of its parts (MOVER: G. Y. Zou, A. Donner, Statistics in Medicine 27 (2008)
 * 1693-1702): low = J − √(Σ (w·(share − low))²), high likewise.
 */
export function rearfootEye(table: AnswerTable, mix: Mix, level: number): RearfootEye {
  const rows = table.map((row) => row[0]! + row[1]! + row[2]!);
  const sensitivity = countedShare(table[0]![0]!, rows[0]!, level);
  const midfoot = countedShare(rows[1]! - table[1]![0]!, rows[1]!, level);
  const forefoot = countedShare(rows[2]! - table[2]![0]!, rows[2]!, level);
  const specificity = weightedLimits([midfoot, forefoot], [mix[1], mix[2]]);
  const index = youdenIndex(sensitivity, specificity);
  return {
    sensitivity,
    other: { midfoot, forefoot },
    specificity,
    youden: index.share,
    low: index.low,
    high: index.high,
    pairsFactor: index.share !== null && index.share > 0 ? pairsFactor(sensitivity.share!, specificity.share!) : null,
  };
}

const NO_LIMITS: ShareInterval = { share: null, low: null, high: null };

function weightedLimits(parts: readonly CountedShare[], weights: readonly number[]): ShareInterval {
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const used = parts.map((part, i) => ({ part, weight: weights[i]! / whole })).filter(({ weight }) => weight > 0);
  if (used.length === 0 || used.some(({ part }) => part.n === 0)) return NO_LIMITS;
  let share = 0;
  let down = 0;
  let up = 0;
  for (const { part, weight } of used) {
    share += weight * part.share!;
    down += (weight * (part.share! - part.low!)) ** 2;
    up += (weight * (part.high! - part.share!)) ** 2;
  }
  return { share, low: share - Math.sqrt(down), high: share + Math.sqrt(up) };
}

function youdenIndex(sensitivity: CountedShare, specificity: ShareInterval): ShareInterval {
  if (sensitivity.share === null || specificity.share === null) return NO_LIMITS;
  const share = sensitivity.share + specificity.share - 1;
  return {
    share,
    low: share - Math.hypot(sensitivity.share - sensitivity.low!, specificity.share - specificity.low!),
    high: share + Math.hypot(sensitivity.high! - sensitivity.share, specificity.high! - specificity.share),
  };
}

/**
 * Pairs needed through these eyes over pairs needed by eyes without error, both by Connor's formula for the planned
 * shift. With misreadings M at both checkpoints the four cells of the pairs T are seen as M′TM.
 *
 * @returns `null` where no difference is left to see
 */
function pairsFactor(sensitivity: number, specificity: number): number | null {
  const { early, changed, toRearfoot } = PLANNED;
  const gained = changed * toRearfoot;
  const lost = changed - gained;
  const both = early - lost;
  const neither = 1 - early - gained;
  const missed = 1 - sensitivity;
  const mistaken = 1 - specificity;
  const noise = sensitivity * missed * both + specificity * mistaken * neither;
  const seenGained = noise + gained * specificity * sensitivity + lost * missed * mistaken;
  const seenLost = noise + gained * mistaken * missed + lost * sensitivity * specificity;
  const through = connorPairs(seenGained + seenLost, seenGained - seenLost);
  return through === null ? null : through / connorPairs(changed, gained - lost)!;
}
