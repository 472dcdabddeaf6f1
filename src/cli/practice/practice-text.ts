import { FOOT_CLASSES } from '../../lib/records/foot.ts';
import { count, decimal, decimalRange, levelText, percent, percentRange, pNumber } from '../../lib/words/numbers.ts';
import type { CountedShare, PracticeScores, SessionScore } from '../../lib/practice/practice-scores.ts';
import { laidOut, sentence, table, type TextPart } from '../output/text-parts.ts';

/** The scores for a person at a terminal of `width` columns. */
export function practiceText({ inputs, scores }: PracticeScores, level: number, width: number): string {
  const { answers, items, excluded } = inputs;
  const head = `${count(answers)} answers to ${count(items)} items; ${count(excluded.repeats)} given again do not count.`;
  const parts = [sentence(`${head} Intervals: ${levelText(level)}.`), ...scores.flatMap(sessionParts)];
  return `${laidOut(parts, width).join('\n')}\n`;
}

function sessionParts(score: SessionScore): TextPart[] {
  const { rearfoot, pass, sequential, time } = score;
  const title = `${score.observer}, session ${score.session} (${score.basis})`;
  return [
    '',
    title,
    '='.repeat(title.length),
    `Shown ${count(score.shown)}, classed ${count(score.classed)}, not seen ${count(score.unseen)}, without an answer ${count(score.missing)}`,
    '',
    ...table(
      ['key \\ answer', ...FOOT_CLASSES],
      score.table.map((row, c) => [FOOT_CLASSES[c]!, ...row.map(count)]),
    ),
    '',
    ...table(
      ['', 'right', 'of', 'share', 'interval'],
      [
        shareRow('all', score.agreement),
        ...FOOT_CLASSES.map((name) => shareRow(name, score.classes[name])),
        shareRow('near foot', score.near),
        shareRow('far foot', score.far),
      ],
    ),
    '',
    `Kappa ${decimal(score.kappa.estimate)}, weighted ${decimal(score.weightedKappa.estimate)}, AC1 ${decimal(score.ac1.estimate)}`,
    `Rearfoot: sensitivity ${percent(rearfoot.sensitivity.share)}, specificity ${percent(rearfoot.specificity.share)}, Youden's index ${withRange(rearfoot.youden, rearfoot.low, rearfoot.high)}`,
    `Pairs needed, times those of true eyes: ${decimal(rearfoot.pairsFactor, 1)}`,
    `Pace: median ${decimal(time.median, 0)} ms, ${decimal(time.perMinute, 1)} a minute`,
    `Drift: p ${pNumber(score.drift.p)}; near against far: p ${pNumber(score.nearFar.p)}`,
    `Sequential test: ${sequential.decision}${sequential.at === null ? '' : ` after ${count(sequential.at)}`}`,
    `Pass mark ${String(pass.mark)}: ${pass.passed === null ? 'cannot tell' : pass.passed ? 'passed' : 'not passed'}`,
    ...score.notes.map((note) => sentence(note, '- ', '  ')),
  ];
}

const shareRow = (name: string, { count: right, n, share, low, high }: CountedShare): string[] => [
  name,
  count(right),
  count(n),
  percent(share),
  percentRange(low, high) ?? '–',
];

function withRange(value: number | null, low: number | null, high: number | null): string {
  const range = decimalRange(low, high);
  return `${decimal(value)}${range === null ? '' : ` (${range})`}`;
}
