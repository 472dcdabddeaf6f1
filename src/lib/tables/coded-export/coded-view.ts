import { compareCodePoints } from '../../records/code-point-order.ts';
import type { ProjectedRuling, ProjectedSighting } from '../../records/projection.ts';
import { entriesOf, type RaceView } from '../../sightings/race-view.ts';
import type { StandingEntry } from '../../sightings/standing-entries.ts';
import { coarseInstant, type CoarseningStep, type KeptColumns } from './coarsening-steps.ts';

/**
 * The race as an export with codes tells it: bibs replaced, notes, devices and counters gone, clock times coarsened.
 *
 * Record ids hold the millisecond in which they were made, and their order is that in which runners passed: each is
 * replaced by a number in the order of the codes. Within one runner the order stays, so that of two entries the same one
 * counts as later.
 */
export function codedView(
  view: RaceView,
  codeOf: (bib: string) => string,
  step: CoarseningStep,
  kept: KeptColumns,
): RaceView {
  const entries = [...entriesOf(view)].map((entry) => ({ entry, code: entry.bib === null ? null : codeOf(entry.bib) }));
  entries.sort((a, b) => compareNullable(a.code, b.code) || byTime(a.entry, b.entry));
  const width = String(entries.length).length;
  const sightings: ProjectedSighting[] = [];
  const rulings: ProjectedRuling[] = [];
  entries.forEach(({ entry, code }, i) => {
    const observedAt = coarseInstant(entry.observedAt, step, kept);
    const anew = { id: `r${String(i + 1).padStart(width, '0')}`, device: '', seq: 0, madeAt: observedAt };
    const { note: _note, ...record } = entry.record;
    if (record.kind === 'ruling') {
      rulings.push({ record: { ...record, ...anew, bib: code ?? '' }, withdrawn: false, stands: true });
      return;
    }
    const { checkpoint, gait, left, right, passed } = entry;
    sightings.push({
      record: { ...record, ...anew, bib: code, observedAt },
      ...{ checkpoint, bib: code, gait, left, right, passed },
      ...{ withdrawn: false, corrections: [], withdrawals: [] },
    });
  });
  // Clips and marks hold names of files and times of the second: an export with codes goes without them,
  // and without the plan, which names last year's file.
  const left = { clips: [], marks: [], acceptances: [], draws: [], plan: null };
  return { ...view, records: [], projection: { ...view.projection, sightings, rulings, ...left }, offCourse: [] };
}

/** Sightings without a bib come last. */
function compareNullable(a: string | null, b: string | null): number {
  if (a === null || b === null) return Number(a === null) - Number(b === null);
  return compareCodePoints(a, b);
}

function byTime(a: StandingEntry, b: StandingEntry): number {
  return Date.parse(a.observedAt) - Date.parse(b.observedAt) || compareCodePoints(a.record.id, b.record.id);
}
