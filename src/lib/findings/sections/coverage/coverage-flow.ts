import { DISPUTED, isClassified, UNCLASSIFIED, WALKING } from '../../../sightings/runner-classes.ts';
import { isPassed } from '../../../sightings/seen.ts';
import { NO_BIB } from '../../../sightings/sighting-table.ts';
import type { Field } from '../../field.ts';
import type { ResolvedRace } from '../../resolved-race.ts';

/** The runners at one checkpoint, from those who passed to those the shift is counted from, each step part of the one before. */
export interface CoverageFlow {
  readonly checkpoint: string;
  /** What `passed` counts: with results the finishers and those sighted here without a finish, else sightings. */
  readonly basis: 'finishers' | 'sightings';
  readonly passed: number;
  /** Sighted here without a finish in the results; part of `passed`. `null` without results. */
  readonly withoutFinish: number | null;
  /** Sightings here whose bib nobody could read. They are runners of `passed`, but nobody knows which. */
  readonly noBib: number;
  /** Let pass here by the sampling rule, not looked at; with sightings as the basis part of `passed`. */
  readonly letPass: number;
  /** Bibs sighted here. */
  readonly seen: number;
  readonly walking: number;
  readonly disputed: number;
  readonly unclassified: number;
  readonly classified: number;
  /** Classified here with a finish in the results; `null` without results. */
  readonly matched: number | null;
  /** Classified here and at the other checkpoint. */
  readonly both: number;
  /** Classified at both with a finish; `null` without results. */
  readonly bothMatched: number | null;
}

/**
 * Counts one checkpoint (`here`, its place in the table) against another one. Without results `passed` is all sightings
 * there after repeats: rows that count, those without a bib, and those let pass by the sampling rule.
 */
export function coverageFlow(race: ResolvedRace, field: Field | null, here: number, other: number): CoverageFlow {
  const { table, used, classes } = race;
  const atOther = new Uint8Array(table.bibs.length);
  for (let i = 0; i < classes.size; i += 1) {
    if (classes.checkpoint[i] === other && isClassified(classes.outcome[i]!)) atOther[classes.bib[i]!] = 1;
  }
  const hasFinish = (bib: number): boolean => field?.rows[field.rowOfBib[bib]!]?.finish !== undefined;
  const count = {
    seen: 0,
    walking: 0,
    disputed: 0,
    unclassified: 0,
    classified: 0,
    matched: 0,
    both: 0,
    bothMatched: 0,
  };
  let sightedFinishers = 0;
  for (let i = 0; i < classes.size; i += 1) {
    if (classes.checkpoint[i] !== here) continue;
    const bib = classes.bib[i]!;
    const outcome = classes.outcome[i]!;
    const finished = hasFinish(bib);
    count.seen += 1;
    if (finished) sightedFinishers += 1;
    if (outcome === WALKING) count.walking += 1;
    else if (outcome === DISPUTED) count.disputed += 1;
    else if (outcome === UNCLASSIFIED) count.unclassified += 1;
    else {
      count.classified += 1;
      if (finished) count.matched += 1;
      if (atOther[bib]) count.both += 1;
      if (atOther[bib] && finished) count.bothMatched += 1;
    }
  }
  let noBib = 0;
  let letPass = 0;
  for (let row = 0; row < table.size; row += 1) {
    if (table.checkpoint[row] !== here) continue;
    if (isPassed(table.seen[row]!)) letPass += 1;
    else if (table.bib[row] === NO_BIB) noBib += 1;
  }
  let sightings = noBib + letPass;
  for (const place of used.checkpoint) if (place === here) sightings += 1;
  const withoutFinish = field ? count.seen - sightedFinishers : null;
  const finishers = field?.rows.reduce((sum, row) => sum + (row.finish === undefined ? 0 : 1), 0) ?? 0;
  return {
    checkpoint: table.checkpoints[here]!.name,
    basis: field ? 'finishers' : 'sightings',
    passed: field ? finishers + withoutFinish! : sightings,
    withoutFinish,
    noBib,
    letPass,
    seen: count.seen,
    walking: count.walking,
    disputed: count.disputed,
    unclassified: count.unclassified,
    classified: count.classified,
    matched: field ? count.matched : null,
    both: count.both,
    bothMatched: field ? count.bothMatched : null,
  };
}
