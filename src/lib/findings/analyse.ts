import type { RunnerAnswer } from '../practice/runner-answer.ts';
import type { SingleFootRule } from '../sightings/runner-classes.ts';
import type { PassageTable } from '../clips/passage.ts';
import type { SightingTable } from '../sightings/sighting-table.ts';
import { gaitFindings } from './analyse-marks.ts';
import { earlyAndLate, type EarlyAndLate } from '../race/early-and-late.ts';
import { agreementOf } from './sections/agreement/figures.ts';
import { correctedOf } from './sections/corrected/figures.ts';
import { coverageOf } from './sections/coverage/figures.ts';
import { fieldOf, type Field, type FieldRow } from './field.ts';
import { finishFigures } from './sections/finish/figures.ts';
import type { Findings, Inputs } from './findings.ts';
import { liveAgainstClip } from './sections/live-against-clip/figures.ts';
import { notesOn } from './notes.ts';
import { resolveRace, type ResolvedRace } from './resolved-race.ts';
import { sharesOf } from './sections/shares/figures.ts';
import { shiftOf } from './sections/shift/figures.ts';

export interface AnalyseOptions {
  /** Name of the early checkpoint; by default the one of least km. */
  early?: string | undefined;
  /** Name of the late checkpoint; by default the one of greatest km. */
  late?: string | undefined;
  /** Of all intervals, above 0 and below 1; by default 0.95. */
  level?: number | undefined;
  singleFoot?: SingleFootRule | undefined;
  /** Answers to a practice set with a key, for the correction; no item with two keys, none twice by one observer. */
  practice?: readonly RunnerAnswer[] | undefined;
  /** Passages through clips with their marks. */
  marks?: PassageTable | null | undefined;
}

/** Findings with what they were computed from, for those who count on. */
export interface AnalysedRace {
  readonly findings: Findings;
  readonly race: ResolvedRace;
  readonly field: Field | null;
}

/** Places of the checkpoints asked for. Throws when the race has none of that name, or both are one. */
function placesOf(table: SightingTable, asked: AnalyseOptions): EarlyAndLate {
  const places = earlyAndLate(table.checkpoints, asked);
  if (places.ok) return places.value;
  const { error } = places;
  throw new RangeError(
    error.type === 'same-checkpoint'
      ? `early and late are both "${error.name}"`
      : `no sighting at a checkpoint "${error.name}"`,
  );
}

function inputsOf({ table, used }: ResolvedRace, field: Field | null): Inputs {
  const runners = table.bibs.length;
  const matched = field ? field.rowOfBib.reduce((count, row) => count + (row >= 0 ? 1 : 0), 0) : null;
  return {
    sightings: table.size + table.sameRecord,
    runners,
    results: field ? field.rows.length : null,
    matched,
    unmatchedBibs: matched === null ? null : runners - matched,
    excluded: { noBib: used.noBib, repeats: used.repeats, sameRecord: table.sameRecord, passed: used.passed },
  };
}

/**
 * All findings of one race: the figures that the command line prints and that the Findings page shows. Pure, linear in
 * sightings and results (times raters who saw the same runner), and the same whatever the order of rows.
 *
 * @param results one row for each starter, no bib twice, finish in seconds above 0; `null` when there are none
 * @throws RangeError for a checkpoint that is not in the table, early and late the same, or a level out of range
 */
export function analyse(
  table: SightingTable,
  results: readonly FieldRow[] | null,
  options: AnalyseOptions = {},
): Findings {
  return analyseRace(table, results, options).findings;
}

/** As {@link analyse}, with the race as it was resolved. */
export function analyseRace(
  table: SightingTable,
  results: readonly FieldRow[] | null,
  options: AnalyseOptions = {},
): AnalysedRace {
  const { level = 0.95, singleFoot = 'exclude' } = options;
  const race = resolveRace(table, singleFoot);
  const { early, late } = placesOf(table, options);
  const severalPlaces = table.checkpoints.length > 1;
  const field = results && fieldOf(results, table.bibs);
  const shift = severalPlaces ? shiftOf(race, early, late, level) : null;
  const finish = field && table.checkpoints.length > 0 ? finishFigures(race, field, early, level) : null;
  const { corrected, fewestInPairs } = correctedOf(race, options.practice ?? null, { early, late, level, singleFoot });
  const gait = options.marks ? gaitFindings(options.marks, race, options) : null;
  const findings: Omit<Findings, 'notes'> = {
    inputs: inputsOf(race, field),
    shares: sharesOf(race, level),
    shift: shift?.shift ?? null,
    finish: finish?.finish ?? null,
    agreement: agreementOf(race, level),
    coverage: field ? coverageOf(race, field, level) : null,
    corrected,
    gait: gait?.gait ?? null,
    gaitChange: gait?.gaitChange ?? null,
    liveAgainstClip: liveAgainstClip(race, level),
  };
  const notes = notesOn(findings, { trend: shift?.trendReason ?? null, model: finish?.noModel ?? null, fewestInPairs });
  return { findings: { ...findings, notes }, race, field };
}
