import { mergeRecords } from './merge-records.ts';
import { RECORD_KINDS, type RecordKind } from './kinds.ts';
import type { Acceptance, Correction, Draw, PlanRecord, RecordOf, Ruling, Sighting, TallyRecord } from './record.ts';
import { projectClips, projectMarks, type ProjectedClip, type ProjectedMark } from './project-marks.ts';
import type { SeenRunner } from './seen-runner.ts';
import { withdrawnRecords } from './withdrawn-records.ts';

/** A sighting as it now stands. */
export interface ProjectedSighting extends SeenRunner {
  /** What the observer wrote at the kerb, unchanged. */
  readonly record: Sighting;
  /** Checkpoint id; like bib, gait and feet with the corrections in force applied. */
  readonly checkpoint: string;
  /** Let pass by the sampling rule and never given feet since: no attempt to class. */
  readonly passed: boolean;
  /** A withdrawal in force targets the sighting. Corrections are applied all the same, for whoever looks at it. */
  readonly withdrawn: boolean;
  /** Ids, in id order, of the corrections that decide at least one field. */
  readonly corrections: readonly string[];
  /** Ids, in id order, of the withdrawals in force that target the sighting itself. */
  readonly withdrawals: readonly string[];
}

/** A ruling and whether it still counts. */
export interface ProjectedRuling {
  readonly record: Ruling;
  /** Taken back by a withdrawal in force. */
  readonly withdrawn: boolean;
  /** The latest ruling not withdrawn for its bib at its checkpoint: the one that settles the dispute. */
  readonly stands: boolean;
}

/** What a set of records means. */
export interface Projection {
  /** All sightings, the withdrawn ones too, in id order (the order in which they were made). */
  readonly sightings: readonly ProjectedSighting[];
  /** All rulings, the superseded and withdrawn ones too, in id order. */
  readonly rulings: readonly ProjectedRuling[];
  /** The lead's acceptances in force, in id order. */
  readonly acceptances: readonly Acceptance[];
  /** All that was said of clips, in id order. */
  readonly clips: readonly ProjectedClip[];
  /** All marks on clips, the withdrawn ones too, in id order. */
  readonly marks: readonly ProjectedMark[];
  /** The plan kept with the race: the latest that is not withdrawn. */
  readonly plan: PlanRecord | null;
  /** Draws of runners to review on clip in force, in the order in which they were made. */
  readonly draws: readonly Draw[];
  /** Ids, of whatever kind, that are here and are withdrawn. */
  readonly withdrawn: ReadonlySet<string>;
  /** Ids of corrections and withdrawals whose target is not here (yet), in id order. */
  readonly targetMissing: readonly string[];
  /** Ids of withdrawals that target each other in a ring and are void, in id order. */
  readonly rings: readonly string[];
  /** Ids with more than one content, in id order: the content whose line is the lesser was taken. */
  readonly conflicts: readonly string[];
}

/**
 * Computes from a set of records what a person sees. The state depends on the set alone: any order, any repetition and
 * any split over devices gives the same.
 *
 * - Of several corrections of one field of one sighting the one with the latest `madeAt` stands, ties by the greater
 *   `id`. Gait, left and right are one field: a correction brings all three or none (a missing gait is `run`).
 * - A record is withdrawn while a withdrawal that is not itself withdrawn targets it; see `withdrawnRecords` for rings.
 *   A withdrawn correction changes nothing; a withdrawal beats any correction, however late.
 * - The latest ruling that is not withdrawn stands for its bib at its checkpoint, ties by the greater `id`.
 * - Of several clips of one file at one checkpoint the latest that is not withdrawn stands.
 * - The latest plan that is not withdrawn stands.
 * - A correction of anything but a sighting or a mark changes nothing.
 *
 * All records are taken to be of one race. Linear in the records (apart from putting them in id order, if they are not).
 */
export function projectRecords(records: Iterable<TallyRecord>): Projection {
  const union = mergeRecords(records);
  const { sighting, correction, withdrawal, ruling, acceptance, clip, mark, plan, draw } = byKind(union.records);
  const { byTarget, rings } = withdrawnRecords(withdrawal);
  const targets = new Set<string>();
  for (const { target } of correction) targets.add(target);
  for (const { target } of withdrawal) targets.add(target);
  const present = new Set<string>();
  if (targets.size > 0) for (const { id } of union.records) if (targets.has(id)) present.add(id);

  const deciding = decidingCorrections(correction, byTarget);
  const standing = standingRulings(ruling, byTarget);
  return {
    sightings: sighting.map((record) => projectSighting(record, deciding.get(record.id), byTarget.get(record.id))),
    rulings: ruling.map((record) => ({
      record,
      withdrawn: byTarget.has(record.id),
      stands: standing.has(record.id),
    })),
    acceptances: acceptance.filter(({ id }) => !byTarget.has(id)),
    clips: projectClips(clip, byTarget),
    marks: projectMarks(mark, correction, byTarget),
    plan: plan.filter(({ id }) => !byTarget.has(id)).reduce<PlanRecord | null>(laterOf, null),
    draws: draw.filter(({ id }) => !byTarget.has(id)).sort((a, b) => (isLater(a, b) ? 1 : -1)),
    withdrawn: new Set([...byTarget.keys()].filter((id) => present.has(id))),
    targetMissing: union.records.filter((r) => 'target' in r && !present.has(r.target)).map((r) => r.id),
    rings,
    conflicts: union.conflicts.map((conflict) => conflict.id),
  };
}

type ByKind = { [Kind in RecordKind]: RecordOf<Kind>[] };

function byKind(records: readonly TallyRecord[]): ByKind {
  const sorted = Object.fromEntries(RECORD_KINDS.map((kind) => [kind, [] as TallyRecord[]])) as ByKind;
  for (const record of records) (sorted[record.kind] as TallyRecord[]).push(record);
  return sorted;
}

/** For one sighting, the correction in force that decides each field. */
interface Deciding {
  checkpoint?: Correction;
  bib?: Correction;
  feet?: Correction;
}

/** Whether `a` beats `b`: made later, or at the same instant with the greater id. */
export function isLater(
  a: { readonly madeAt: string; readonly id: string },
  b: { readonly madeAt: string; readonly id: string } | undefined,
): boolean {
  // Instants all have the same form in UTC, so that their texts sort as they do.
  return b === undefined || a.madeAt > b.madeAt || (a.madeAt === b.madeAt && a.id > b.id);
}

const laterOf = (a: PlanRecord | null, b: PlanRecord): PlanRecord => (a && isLater(a, b) ? a : b);

function decidingCorrections(
  corrections: readonly Correction[],
  withdrawn: ReadonlyMap<string, unknown>,
): Map<string, Deciding> {
  const byTarget = new Map<string, Deciding>();
  for (const correction of corrections) {
    if (withdrawn.has(correction.id)) continue;
    let deciding = byTarget.get(correction.target);
    if (!deciding) byTarget.set(correction.target, (deciding = {}));
    if (correction.checkpoint !== undefined && isLater(correction, deciding.checkpoint)) {
      deciding.checkpoint = correction;
    }
    if (correction.bib !== undefined && isLater(correction, deciding.bib)) deciding.bib = correction;
    if (correction.left !== undefined && isLater(correction, deciding.feet)) deciding.feet = correction;
  }
  return byTarget;
}

function standingRulings(rulings: readonly Ruling[], withdrawn: ReadonlyMap<string, unknown>): Set<string> {
  const latest = new Map<string, Ruling>();
  for (const ruling of rulings) {
    if (withdrawn.has(ruling.id)) continue;
    // Neither part can hold a line break, so that no two pairs share a key.
    const key = `${ruling.checkpoint}\n${ruling.bib}`;
    if (isLater(ruling, latest.get(key))) latest.set(key, ruling);
  }
  return new Set([...latest.values()].map((ruling) => ruling.id));
}

const NONE: readonly string[] = [];

function projectSighting(
  record: Sighting,
  deciding: Deciding | undefined,
  withdrawals: readonly string[] = NONE,
): ProjectedSighting {
  const { checkpoint, bib, feet } = deciding ?? {};
  const seen = feet ?? record;
  return {
    record,
    checkpoint: checkpoint?.checkpoint ?? record.checkpoint,
    bib: bib?.bib === undefined ? record.bib : bib.bib,
    gait: seen.gait ?? 'run',
    left: seen.left ?? record.left,
    right: seen.right ?? record.right,
    // Whoever gives feet has looked.
    passed: record.passed === true && feet === undefined,
    withdrawn: withdrawals.length > 0,
    corrections: deciding ? idsOf(checkpoint, bib, feet) : NONE,
    withdrawals: withdrawals.length > 1 ? [...withdrawals].sort() : withdrawals,
  };
}

function idsOf(...corrections: (Correction | undefined)[]): string[] {
  const ids = new Set<string>();
  for (const correction of corrections) if (correction) ids.add(correction.id);
  return [...ids].sort();
}
