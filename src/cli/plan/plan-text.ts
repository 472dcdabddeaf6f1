import { assumptionSource } from '../../lib/plan/assumption-sources.ts';
import type { Capacity } from '../../lib/plan/capacity.ts';
import type { PlanFigures } from '../../lib/plan/plan-figures.ts';
import { placeName, planAnswer } from '../../lib/plan/plan-words.ts';
import { ruleName } from '../../lib/plan/rule-words.ts';
import type { ChangeFigures } from '../../lib/plan/planned-shift-figures.ts';
import type { SeparateSamplesPower } from '../../lib/stats/contingency/separate-samples-power.ts';
import {
  clock,
  count,
  decimal,
  orNone,
  percent,
  percentRange,
  pointRange,
  signedPoints,
} from '../../lib/words/numbers.ts';
import { heading } from '../output/text-lines.ts';
import { laidOut, sentence, table, type TextPart } from '../output/text-parts.ts';

type Table = readonly [readonly string[], readonly (readonly string[])[]];
const about = (value: number | null): string => (value === null ? orNone(null) : count(Math.round(value)));

/** The figures of a plan as text, for a terminal of `width` columns. */
export function planText(figures: PlanFigures, width: number): string {
  const parts: TextPart[] = [
    sentence(planAnswer(figures)),
    ...heading('Runners a minute'),
    ...table(...flowTable(figures)),
    ...heading('Minute by minute'),
    ...figures.flow.flatMap((flow) => perMinuteLines(figures, flow, width)),
    ...heading('What the observers can class'),
    ...table(...capacityTable(figures)),
    ...figures.capacity.flatMap((capacity) => ['', ...capacityLines(figures, capacity)]),
    ...heading('Which runners'),
    sentence(ruleLine(figures)),
    '',
    ...table(...candidateTable(figures)),
    ...heading('What the race can show'),
    ...shiftLines(figures),
    ...heading('Agreement and clips'),
    ...agreementLines(figures),
    ...heading('What this rests on'),
    ...inputsLines(figures),
    ...heading('To know'),
    ...figures.notes.map((note) => sentence(note, '', '  ')),
  ];
  return `${laidOut(parts, width).join('\n').trim()}\n`;
}

function flowTable({ flow }: PlanFigures): Table {
  return [
    ['checkpoint', 'km', 'pass', 'first minute', 'fullest minute', 'in it', 'by rule of thumb', 'quarters'],
    flow.map(({ checkpoint, km, passing, firstMinute, peak, ruleOfThumb, quarters }) => [
      checkpoint,
      String(km),
      count(passing),
      minuteText(firstMinute),
      minuteText(peak.minute),
      count(peak.count),
      decimal(ruleOfThumb, 1),
      quarters.map(count).join(' '),
    ]),
  ];
}

/** A sentence set in, its further lines more so. */
const setInLine = (text: string): TextPart => sentence(text, '  ', '    ');
const minuteText = (minute: number | null): string => clock(minute === null ? null : minute * 60);

/** What the time and one count take of a line, characters. */
const MINUTE = { time: 10, count: 5 } as const;

/** Ten minutes a line or, on a narrow terminal, five; each line begun with its first minute after the gun. */
function perMinuteLines(
  figures: PlanFigures,
  { checkpoint, firstMinute, perMinute }: PlanFigures['flow'][number],
  width: number,
): TextPart[] {
  const lines = [placeName(figures, checkpoint)];
  const aLine = width >= MINUTE.time + 10 * MINUTE.count ? 10 : 5;
  for (let from = 0; from < perMinute.length; from += aLine) {
    const counts = perMinute.slice(from, from + aLine).map((n) => String(n).padStart(MINUTE.count));
    lines.push(`  ${minuteText(firstMinute! + from)}${counts.join('')}`);
  }
  return lines;
}

function capacityTable({ capacity, expected }: PlanFigures): Table {
  return [
    ['checkpoint', 'load at the peak', 'due', 'kept at the peak', 'of all', 'evenness', 'classed by eye', 'classified'],
    capacity.map(({ checkpoint, peakLoad, rule }, i) => [
      checkpoint,
      decimal(peakLoad),
      percent(rule.due),
      percent(rule.atPeak),
      percent(rule.share),
      decimal(rule.evenness),
      about(expected.checkpoints[i]!.watched),
      about(expected.checkpoints[i]!.classified),
    ]),
  ];
}

function capacityLines(figures: PlanFigures, capacity: Capacity): TextPart[] {
  const { checkpoint, rule, everyone, pooled, packs, observers, replay } = capacity;
  const quarters = (shares: readonly (number | null)[]): string => shares.map((share) => percent(share)).join(' ');
  return [
    placeName(figures, checkpoint),
    setInLine(`by quarter, fastest first: ${quarters(rule.quarterShare)}`),
    setInLine(
      `everyone due: ${percent(everyone.share)} of all, ${percent(everyone.atPeak)} at the peak, evenness ${decimal(everyone.evenness)}, by quarter ${quarters(everyone.quarterShare)}`,
    ),
    setInLine(`whoever is free takes the next: ${percent(pooled.share)} of all, ${percent(pooled.atPeak)} at the peak`),
    setInLine(`in packs of ${packs.map(({ pack, share }) => `${String(pack)}: ${percent(share)}`).join(', ')}`),
    setInLine(
      `with observers ${observers.map(({ observers: n, share }) => `${String(n)}: ${percent(share)}`).join(', ')}`,
    ),
    ...(replay
      ? [
          setInLine(
            `last year’s list, everyone due: ${count(replay.classed)} classed, ${percent(replay.share)}, by quarter ${quarters(replay.quarterShare)}`,
          ),
        ]
      : []),
  ];
}

function ruleLine({ rule, recommended }: PlanFigures): string {
  const named = (one: PlanFigures['recommended']['shift']): string => (one ? ruleName(one) : 'none');
  return `The rule (${rule.from}): ${ruleName(rule)}. For a shift: ${named(recommended.shift)}. For a share at each checkpoint: ${named(recommended.share)}.`;
}

function candidateTable({ candidates, flow }: PlanFigures): Table {
  const [first, ...others] = flow.map(({ checkpoint }) => checkpoint);
  const names = [first!, ...others];
  return [
    ['rule', ...names.map((name) => `classified at ${name}`), 'at both', 'kept at the peak', 'evenness'],
    candidates.map(({ rule, classified, pairs, atPeak, evenness }) => [
      ruleName(rule),
      ...classified.map(about),
      about(pairs),
      atPeak.map((share) => percent(share)).join(' '),
      evenness.map((share) => decimal(share)).join(' '),
    ]),
  ];
}

function shiftLines(figures: PlanFigures): TextPart[] {
  const { precision, shift, separate, bias } = figures;
  const shares = precision.shares.map(({ checkpoint, n, share, low, high, halfWidth }) => [
    checkpoint,
    count(n),
    percent(share),
    orNone(percentRange(low, high)),
    percent(halfWidth),
  ]);
  const { difference } = precision;
  return [
    ...table(['rearfoot share', 'runners', 'assumed', 'interval', 'half width'], shares),
    ...(difference
      ? [
          '',
          `Difference in ${count(difference.n)} pairs: ${signedPoints(difference.difference)} points, interval ${orNone(pointRange(difference.low, difference.high))}, ${decimal(difference.width === null ? null : difference.width * 100, 1)} wide`,
        ]
      : []),
    ...(shift ? ['', ...table(...changeTable(shift, shift.throughEyes))] : []),
    ...(shift
      ? [
          '',
          `Smallest shift shown: ${points(shift.smallestShift.exact)} by the exact test, ${points(shift.smallestShift.midP)} by mid-p`,
        ]
      : []),
    ...(separate ? ['', ...table(...separateTable(separate.rearfoot, separate.classes))] : []),
    ...(bias
      ? [
          '',
          ...table(
            ['raw share', 'of all who pass', 'of those classed', 'bias'],
            bias.map((b) => [b.checkpoint, percent(b.field), percent(b.expected), signedPoints(b.bias)]),
          ),
        ]
      : []),
  ];
}

const points = (share: number | null): string => (share === null ? orNone(null) : `${decimal(share * 100, 1)} points`);

function changeTable(...[truly, seen]: [ChangeFigures, ChangeFigures]): Table {
  const row = (name: string, change: ChangeFigures): string[] => [
    name,
    percent(change.changed),
    signedPoints(change.difference),
    percent(change.gained),
    percent(change.lost),
    percent(change.power.exact),
    percent(change.power.midP),
    ...[change.needed.exact, change.needed.midP, change.needed.connor, change.needed.miettinen].map(count),
  ];
  return [
    ['McNemar', 'change', 'shift', 'gain', 'lose', 'power', 'mid-p', 'pairs needed', 'mid-p', 'Connor', 'Miettinen'],
    [row('as it is', truly), row('as eyes see it', seen)],
  ];
}

function separateTable(rearfoot: SeparateSamplesPower, classes: SeparateSamplesPower | null): Table {
  const row = (name: string, one: SeparateSamplesPower): string[] => [
    name,
    count(one.df),
    decimal(one.noncentrality),
    percent(one.power),
    count(one.needed),
  ];
  return [
    ['two separate samples', 'df', 'noncentrality', 'power', 'needed in each'],
    [row('rearfoot or not', rearfoot), ...(classes ? [row('four classes', classes)] : [])],
  ];
}

function agreementLines({ agreement, validation }: PlanFigures): TextPart[] {
  const { free, atOptimal } = validation;
  return [
    sentence(
      `Kappa ${decimal(agreement.kappa)} (agreement ${percent(agreement.agreement)}) as closely as asked: ${count(agreement.units)} feet of ${count(agreement.runners)} runners, classed by two. AC1 is ${decimal(agreement.ac1.estimate)} there and takes ${count(agreement.ac1.units)} feet.`,
    ),
    sentence(
      `Eyes would find ${percent(validation.raw)} rearfoot, with reliability ${decimal(validation.reliability)}. To correct the share of ${count(validation.runners)} runners as closely as asked: ${count(validation.clips)} clips. A clip costs ${decimal(validation.costRatio, 1)} times as much as a look; best is ${percent(validation.optimalFraction)} filmed, here ${count(atOptimal.clips)} clips for ±${percent(atOptimal.halfWidth)}. Free to choose: ${count(free.runners)} runners, ${count(free.clips)} clips, ${clock(free.seconds)} of work.`,
    ),
  ];
}

function inputsLines({ inputs }: PlanFigures): TextPart[] {
  const { source, finishers, median, spread, early, late, assumed } = inputs;
  const times =
    source === 'results'
      ? `last year’s ${count(finishers)} finish times, median ${clock(median)}`
      : `log-normal, median ${clock(median)}, spread ${decimal(spread, 3)}`;
  return [
    `Finish times: ${times}. Compared: ${late === null ? early : `${early} and ${late}`}.`,
    ...assumed.map((path) => sentence(`${path}: ${assumptionSource(path)}`, '  ', '    ')),
  ];
}
