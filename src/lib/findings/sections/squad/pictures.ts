import { RUNNER_CLASSES } from '../../../records/foot.ts';
import type { RunnerOutcome } from '../../../sightings/runner-classes.ts';
import {
  clock,
  count,
  distance,
  levelText,
  NO_FIGURE,
  orNone,
  pace,
  percent,
  percentRange,
  pointRange,
  signedPoints,
} from '../../../words/numbers.ts';
import type { IntervalMark, MarksPicture, TableData } from '../../series-picture.ts';
import type { Squad, SquadRunner, SquadShare } from './figures.ts';

const GROUP_WORDS: Record<SquadShare['group'], string> = { squad: 'squad', rest: 'rest of the field' };

/** What a runner came out as, in a word or two. */
export const OUTCOME_WORDS: Record<RunnerOutcome, string> = {
  rearfoot: 'rearfoot',
  midfoot: 'midfoot',
  forefoot: 'forefoot',
  asymmetric: 'asymmetric',
  unclassified: 'foot not seen',
  disputed: 'disputed',
  walking: 'walking',
};

/** A runner's pace from one point to the next, seconds for a km; `null` where a time is missing or does not fit. */
export interface CourseLeg {
  readonly name: string;
  readonly secondsPerKm: number | null;
}

/** Where the race starts and ends, as far as the set-up knows. */
export interface Clockwork {
  /** Milliseconds since 1970; `null` when no start time is set up. */
  readonly startMs: number | null;
  /** Length of the course; `null` when not set up. */
  readonly courseKm: number | null;
}

/** Paces from the start over the checkpoints to the finish; the start is the gun's, or the runner's own where it is known. */
export function legsOf(
  runner: SquadRunner,
  squad: Squad,
  clockwork: Clockwork,
  ownStartMs: number | null,
): CourseLeg[] {
  const startMs = ownStartMs ?? clockwork.startMs;
  const points: { name: string; km: number; atMs: number | null }[] = [
    { name: 'start', km: 0, atMs: startMs },
    ...squad.checkpoints.map(({ name, km }, i) => ({ name, km, atMs: runner.sightings[i]?.atMs ?? null })),
  ];
  if (clockwork.courseKm !== null) {
    points.push({
      name: 'finish',
      km: clockwork.courseKm,
      atMs: startMs === null || runner.finish === null ? null : startMs + runner.finish * 1000,
    });
  }
  return points.slice(1).map((point, i) => {
    const from = points[i]!;
    const km = point.km - from.km;
    const seconds = point.atMs === null || from.atMs === null ? null : (point.atMs - from.atMs) / 1000;
    return {
      name: `${from.name} to ${point.name}`,
      secondsPerKm: seconds === null || seconds <= 0 || km <= 0 ? null : seconds / km,
    };
  });
}

/** How much slower the last known leg is than the first, as a proportion; `null` with fewer than two legs. */
export function slowing(legs: readonly CourseLeg[]): number | null {
  const known = legs.filter((leg) => leg.secondsPerKm !== null);
  const [first, last] = [known[0], known.at(-1)];
  return known.length < 2 || !first || !last ? null : last.secondsPerKm! / first.secondsPerKm! - 1;
}

/** One row a runner, in the order of bibs. `names` and `starts` come from the start list. */
export function squadTable(
  squad: Squad,
  clockwork: Clockwork,
  early: string,
  late: string,
  nameOf: (bib: string) => string | undefined,
  ownStartMsOf: (bib: string) => number | null,
): TableData {
  const earlyPlace = squad.checkpoints.findIndex((one) => one.name === early);
  const latePlace = squad.checkpoints.findIndex((one) => one.name === late);
  const legNames = squad.runners[0] ? legsOf(squad.runners[0], squad, clockwork, null).map((leg) => leg.name) : [];
  return {
    caption:
      'Runners in the order of their bibs; times as the observers’ devices wrote them, paces in minutes for a km, slowing from the first known leg to the last',
    columns: [
      'Bib',
      'Name',
      ...squad.checkpoints.flatMap(({ name, km }) => [`${name}, ${distance(km)}`, 'race time']),
      ...legNames,
      'Slowing',
      'Finish',
      'Early to late',
    ],
    rows: squad.runners.map((runner) => {
      const own = ownStartMsOf(runner.bib);
      const startMs = own ?? clockwork.startMs;
      const legs = legsOf(runner, squad, clockwork, own);
      const slower = slowing(legs);
      const [before, after] = [runner.sightings[earlyPlace], runner.sightings[latePlace]];
      return [
        runner.bib,
        nameOf(runner.bib) ?? '',
        ...runner.sightings.flatMap((seen) => [
          seen ? OUTCOME_WORDS[seen.outcome] : 'not sighted',
          seen?.atMs != null && startMs !== null ? clock((seen.atMs - startMs) / 1000) : NO_FIGURE,
        ]),
        ...legs.map((leg) => pace(leg.secondsPerKm)),
        slower === null ? NO_FIGURE : `${signedPoints(slower)}\u00a0%`,
        clock(runner.finish),
        earlyPlace === latePlace || !before || !after
          ? NO_FIGURE
          : before.outcome === after.outcome
            ? 'the same'
            : `${OUTCOME_WORDS[before.outcome]} → ${OUTCOME_WORDS[after.outcome]}`,
      ];
    }),
  };
}

/** The squad's rearfoot share beside the rest of the field's, with intervals. */
export function squadPicture(squad: Squad, level: number): MarksPicture | null {
  const shown = squad.shares.filter((share) => share.classified > 0);
  if (!shown.some((share) => share.group === 'squad')) return null;
  const rows = [...new Set(shown.map((share) => share.checkpoint))];
  const groups = ['squad', 'rest'] as const;
  const find = (row: string, group: SquadShare['group']) =>
    shown.find((share) => share.checkpoint === row && share.group === group);
  return {
    kind: 'marks',
    style: 'point',
    unit: 'share',
    id: 'squad',
    title: `The squad and the rest of the field, ${levelText(level)} intervals`,
    label: `Rearfoot shares with intervals. ${shown.map((share) => `${share.checkpoint}, ${GROUP_WORDS[share.group]}: ${percent(share.classes.rearfoot / share.classified)} of ${count(share.classified)}`).join('; ')}.`,
    axisTitle: 'rearfoot share of the classified runners',
    rows,
    groups: groups.map((group, i) => ({
      name: GROUP_WORDS[group],
      tone: i === 0 ? ('first' as const) : ('second' as const),
      marks: rows.map((row): IntervalMark | null => {
        const share = find(row, group);
        return share ? { value: share.classes.rearfoot / share.classified, low: share.low, high: share.high } : null;
      }),
    })),
    min: 0,
    max: 1,
    table: {
      caption: `Classes in the squad and in the rest of the field, with the ${levelText(level)} interval of the rearfoot share (Wilson); changes early to late with Newcombe’s interval`,
      columns: ['Group', 'Classified', ...RUNNER_CLASSES, 'Rearfoot share', 'interval'],
      rows: [
        ...squad.shares.map((share) => [
          `${GROUP_WORDS[share.group]}, ${share.checkpoint}`,
          count(share.classified),
          ...RUNNER_CLASSES.map((name) => count(share.classes[name])),
          percent(share.classified > 0 ? share.classes.rearfoot / share.classified : null),
          orNone(percentRange(share.low, share.high)),
        ]),
        ...squad.changes.map((change) => [
          `${GROUP_WORDS[change.group]}, change in ${count(change.paired)} seen at both`,
          count(change.paired),
          `${count(change.gained)} onto`,
          `${count(change.lost)} off`,
          '',
          '',
          `${signedPoints(change.difference)} points`,
          orNone(pointRange(change.low, change.high)),
        ]),
      ],
    },
  };
}
