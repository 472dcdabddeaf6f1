import { FOOT_CLASSES } from '../lib/records/foot.ts';
import { count, decimal, decimalRange, levelText, percent, percentRange, pNumber } from '../lib/words/numbers.ts';
import type { CountedShare, PracticeScores, SessionScore } from '../lib/practice/practice-scores.ts';
import { alignedTable } from './aligned-table.ts';

/** The scores for a person at a terminal. */
export function practiceText({ inputs, scores }: PracticeScores, level: number): string {
  const { answers, items, excluded } = inputs;
  const head = `${count(answers)} answers to ${count(items)} items; ${count(excluded.repeats)} given again do not count.`;
  return `${[`${head} Intervals: ${levelText(level)}.`, ...scores.map(sessionText)].join('\n\n')}\n`;
}

function sessionText(score: SessionScore): string {
  const { rearfoot, pass, sequential, time } = score;
  const title = `${score.observer}, session ${score.session} (${score.basis})`;
  const lines = [
    title,
    '='.repeat(title.length),
    `Shown ${count(score.shown)}, classed ${count(score.classed)}, not seen ${count(score.unseen)}, without an answer ${count(score.missing)}`,
    '',
    ...alignedTable(
      ['key \\ answer', ...FOOT_CLASSES],
      score.table.map((row, c) => [FOOT_CLASSES[c]!, ...row.map(count)]),
    ),
    '',
    ...alignedTable(
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
    ...score.notes.map((note) => `- ${note}`),
  ];
  return lines.join('\n');
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
