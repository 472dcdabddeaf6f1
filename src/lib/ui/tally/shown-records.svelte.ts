import { projectRecords, type ProjectedSighting } from '../../records/projection.ts';
import type { Sighting, TallyRecord } from '../../records/record.ts';
import type { KeptRecord } from '../../store/records/add-record.ts';
import type { RecordCounts } from '../../store/records/record-counters.ts';

/** How many sightings the list shows. */
export const SHOWN = 5;
const NO_COUNTS: RecordCounts = { lastSeq: 0, tallied: 0, waiting: 0, savedSeq: 0, pulled: 0 };

/** A sighting that was withdrawn, and the id of the withdrawal: empty until it is written. */
interface TakenBack {
  readonly withdrawal: string;
  readonly sighting: ProjectedSighting;
}

/** What the Tally screen shows of the records on this device: the counts, the last five, and what was taken back last. */
export class ShownRecords {
  #counts = $state.raw<RecordCounts>(NO_COUNTS);
  /** The newest sightings that stand, newest first; more than are shown. */
  #standing = $state.raw<readonly ProjectedSighting[]>([]);
  readonly #recent = $derived(this.#standing.filter((sighting) => !sighting.passed).slice(0, SHOWN));
  #lastKept = $state.raw<Sighting | undefined>();
  /** Steps back that can be redone, the last one last. */
  #takenBack = $state.raw<readonly TakenBack[]>([]);
  /** Readings of the storage may end in another order than they began: an older one shows nothing any more. */
  #readsBegun = 0;
  #readShown = 0;

  get counts(): RecordCounts {
    return this.#counts;
  }

  /** The newest sightings that stand, newest first; runners who were let pass are not among them. */
  get recent(): readonly ProjectedSighting[] {
    return this.#recent;
  }

  /** The newest sighting that stands, also one that was let pass. */
  get last(): ProjectedSighting | undefined {
    return this.#standing[0];
  }

  /** The sighting that was kept last, until another record is. */
  get lastKept(): Sighting | undefined {
    return this.#lastKept;
  }

  /** The sighting that the next redo brings back, until another one is kept. */
  get takenBack(): ProjectedSighting | undefined {
    return this.#takenBack.at(-1)?.sighting;
  }

  /** The number of a reading of the storage that begins now. */
  beginReading(): number {
    return (this.#readsBegun += 1);
  }

  /** Shows what a reading brought; says whether it did, since one that began later may have been shown already. */
  showReading(reading: number, counts: RecordCounts, records: readonly TallyRecord[]): boolean {
    if (reading < this.#readShown) return false;
    this.#readShown = reading;
    this.#counts = counts;
    this.#standing = newest(projectRecords(records).sightings.filter((sighting) => !sighting.withdrawn));
    return true;
  }

  /** Shows a record that was made here and is kept now. What a correction or withdrawal changes takes a reading. */
  showKept({ record, counts }: KeptRecord): void {
    // A reading may have shown already what came after it, in another tab too.
    if (counts.lastSeq >= this.#counts.lastSeq) this.#counts = counts;
    if (record.kind === 'sighting') {
      const { checkpoint, bib, left, right, gait = 'run', passed = false } = record;
      const asMade = { record, checkpoint, bib, gait, left, right, passed };
      const fresh = { ...asMade, withdrawn: false, corrections: [], withdrawals: [] };
      this.#standing = newest([fresh, ...this.#standing.filter((other) => other.record.id !== record.id)]);
      this.#lastKept = record;
      this.#takenBack = [];
    } else {
      this.#lastKept = undefined;
      if (record.kind === 'withdrawal') {
        this.#takenBack = this.#takenBack.map((step) =>
          step.sighting.record.id === record.target ? { ...step, withdrawal: record.id } : step,
        );
      }
    }
  }

  /** Takes a sighting off the list whose withdrawal is on its way. */
  takeBack(sighting: ProjectedSighting): void {
    this.#standing = this.#standing.filter((other) => other.record.id !== sighting.record.id);
    this.#takenBack = [...this.#takenBack, { withdrawal: '', sighting }];
  }

  /**
   * Takes the last step back off those that can be redone, and gives it with its withdrawal, which is to be withdrawn in
   * turn. Nothing while that is not written: there is nothing to withdraw yet.
   */
  redo(): TakenBack | undefined {
    const step = this.#takenBack.at(-1);
    if (!step?.withdrawal) return undefined;
    this.#takenBack = this.#takenBack.slice(0, -1);
    return step;
  }
}

/** Some more than are shown, since some may be taken back; and not more than that many runners who were let pass with them. */
const HELD = { classed: 4 * SHOWN, all: 400 } as const;

function newest(sightings: readonly ProjectedSighting[]): ProjectedSighting[] {
  const sorted = sightings.toSorted((a, b) => b.record.seq - a.record.seq);
  let classed = 0;
  const end = sorted.findIndex((sighting) => !sighting.passed && (classed += 1) > HELD.classed);
  return sorted.slice(0, Math.min(end < 0 ? Infinity : end, HELD.all));
}
