import { normalUpperQuantile } from '../stats/distributions.ts';
import type { Mix } from './practice-levels.ts';
import type { AnswerTable, AtMix } from './practice-scores.ts';

/**
 * What this eye would do in a field of the given mix: agreement Σ w·share with variance Σ w²·share(1 − share)/n, normal,
 * cut to 0–1, and the rearfoot share it would report. Without a classed item of a class of the mix nothing is said.
 *
 * @param mix weights, sum 1
 */
export function atMix(table: AnswerTable, mix: Mix, level: number): AtMix {
  const rows = table.map((row) => row[0]! + row[1]! + row[2]!);
  const inMix = [0, 1, 2].filter((c) => mix[c]! > 0);
  if (inMix.some((c) => rows[c] === 0)) {
    return { mix, agreement: { share: null, low: null, high: null }, rearfootSeen: null, bias: null };
  }
  let share = 0;
  let variance = 0;
  let rearfootSeen = 0;
  for (const c of inMix) {
    const right = table[c]![c]! / rows[c]!;
    share += mix[c]! * right;
    variance += (mix[c]! ** 2 * right * (1 - right)) / rows[c]!;
    rearfootSeen += (mix[c]! * table[c]![0]!) / rows[c]!;
  }
  const half = normalUpperQuantile((1 - level) / 2) * Math.sqrt(variance);
  const varies = variance > 0;
  return {
    mix,
    agreement: {
      share,
      low: varies ? Math.max(0, share - half) : null,
      high: varies ? Math.min(1, share + half) : null,
    },
    rearfootSeen,
    bias: rearfootSeen - mix[0],
  };
}
