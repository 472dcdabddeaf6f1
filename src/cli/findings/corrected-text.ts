import { RUNNER_CLASSES } from '../../lib/records/foot.ts';
import type { Findings } from '../../lib/findings/findings.ts';
import type { Corrected, CorrectedShare } from '../../lib/findings/sections/corrected/corrected.ts';
import {
  count,
  counted,
  levelText,
  orNone,
  percent,
  percentRange,
  pointRange,
  signedPoints,
} from '../../lib/words/numbers.ts';
import { place } from '../../lib/findings/sentences/sentences-section.ts';
import { table, type TextPart } from '../output/text-parts.ts';

/** Observed and corrected shares at each checkpoint, and the difference, by each of the two corrections that is there. */
export function correctedParts(findings: Findings, level: number): TextPart[] {
  const { corrected } = findings;
  if (!corrected) return [];
  const { validation, practice } = corrected;
  return [
    ...(validation?.checkpoints ?? []).flatMap(({ checkpoint, live, validated, clipUnclear, classes }) => [
      '',
      `${place(findings, checkpoint)}, by clip: ${counted(live, 'live runner')}, ${count(validated)} validated, ${count(clipUnclear)} with an unclear clip`,
      ...sharesTable(classes, level),
    ]),
    ...(practice?.checkpoints ?? []).flatMap(({ checkpoint, runners, readings, unpractised, classes }) => [
      '',
      `${place(findings, checkpoint)}, by practice: ${counted(runners, 'runner')} in ${counted(readings, 'reading')}, ${count(unpractised)} by observers who have not practised`,
      ...sharesTable(classes, level),
    ]),
    ...differences(corrected, level),
  ];
}

function sharesTable(classes: Record<(typeof RUNNER_CLASSES)[number], CorrectedShare>, level: number): TextPart[] {
  const rows = RUNNER_CLASSES.map((name) => {
    const { observed, share, low, high } = classes[name];
    return [name, percent(observed), percent(share), orNone(percentRange(low, high))];
  });
  return table(['class', 'observed', 'corrected', `${levelText(level)} interval`], rows);
}

function differences({ validation, practice }: Corrected, level: number): TextPart[] {
  const rows = [
    ...(validation?.difference ? [{ by: 'clip', of: validation.difference }] : []),
    ...(practice?.difference ? [{ by: 'practice', of: practice.difference }] : []),
  ].map(({ by, of }) => [
    `by ${by}`,
    count(of.paired),
    signedPoints(of.observed.difference),
    signedPoints(of.corrected.difference),
    orNone(pointRange(of.corrected.low, of.corrected.high)),
  ]);
  if (rows.length === 0) return [];
  const heads = [
    'rearfoot, late less early',
    'runners',
    'observed, points',
    'corrected',
    `${levelText(level)} interval`,
  ];
  return ['', ...table(heads, rows)];
}
