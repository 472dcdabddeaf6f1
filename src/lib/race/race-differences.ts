import type { Race } from './race.ts';
import { whoIsDue } from './rule-words.ts';

export interface RaceDifference {
  /** What differs, for a person. */
  readonly what: string;
  readonly mine: string;
  readonly theirs: string;
}

const NAMES = {
  name: 'Name',
  date: 'Date',
  km: 'Length in km',
  start: 'Start',
  timeZone: 'Time zone',
  finishClock: 'Finish times count from',
} as const;

/** What two set-ups of one race say differently, one row for each thing. */
export function raceDifferences(mine: Race, theirs: Race): RaceDifference[] {
  const rows: RaceDifference[] = (Object.keys(NAMES) as (keyof typeof NAMES)[]).map((field) => ({
    what: NAMES[field],
    mine: String(mine[field] ?? '–'),
    theirs: String(theirs[field] ?? '–'),
  }));
  rows.push(
    { what: 'Checkpoints', mine: checkpointsText(mine), theirs: checkpointsText(theirs) },
    { what: 'Observers', mine: observersText(mine), theirs: observersText(theirs) },
    { what: 'Sampling rule', mine: ruleText(mine), theirs: ruleText(theirs) },
  );
  return rows.filter((row) => row.mine !== row.theirs);
}

function checkpointsText({ checkpoints }: Race): string {
  return checkpoints.map(({ name, km }) => `${name} (${km} km)`).join(', ') || '–';
}

function observersText({ observers = [], checkpoints }: Race): string {
  const name = (id: string) => checkpoints.find((checkpoint) => checkpoint.id === id)?.name ?? id;
  return (
    observers
      .map(({ code, checkpoint, side }) => `${code}: ${name(checkpoint)}${side === undefined ? '' : `, ${side}`}`)
      .join('; ') || '–'
  );
}

function ruleText({ samplingRule }: Race): string {
  return samplingRule ? whoIsDue(samplingRule) : '–';
}
