import { projectRecords, type ProjectedSighting } from '../../records/projection.ts';
import type { Sighting, TallyRecord } from '../../records/record.ts';
import type { KeptRecord } from '../../store/add-record.ts';
import type { RecordCounts } from '../../store/record-counters.ts';

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
  #recent = $state.raw<readonly ProjectedSighting[]>([]);
  #lastKept = $state.raw<Sighting | undefined>();
  #takenBack = $state.raw<TakenBack | undefined>();
  /** Readings of the storage may end in another order than they began: an older one shows nothing any more. */
  #readsBegun = 0;
  #readShown = 0;

  get counts(): RecordCounts {
    return this.#counts;
  }

  /** The newest sightings that stand, newest first. */
  get recent(): readonly ProjectedSighting[] {
    return this.#recent;
  }

  /** The sighting that was kept last, until another record is. */
  get lastKept(): Sighting | undefined {
    return this.#lastKept;
  }

  /** The sighting that was withdrawn last, until the next one is kept. */
  get takenBack(): ProjectedSighting | undefined {
    return this.#takenBack?.sighting;
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
    this.#recent = newest(projectRecords(records).sightings.filter((sighting) => !sighting.withdrawn));
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
      this.#recent = newest([fresh, ...this.#recent.filter((other) => other.record.id !== record.id)]);
      this.#lastKept = record;
      this.#takenBack = undefined;
    } else {
      this.#lastKept = undefined;
      if (record.kind === 'withdrawal' && this.#takenBack?.sighting.record.id === record.target) {
        this.#takenBack = { ...this.#takenBack, withdrawal: record.id };
      }
    }
  }

  /** Takes a sighting off the list whose withdrawal is on its way. */
  takeBack(sighting: ProjectedSighting): void {
    this.#recent = this.#recent.filter((other) => other.record.id !== sighting.record.id);
    this.#takenBack = { withdrawal: '', sighting };
  }

  /**
   * Forgets the sighting that was taken back, and gives it with its withdrawal, which is to be withdrawn in turn. Nothing
   * while that is not written: there is nothing to withdraw yet.
   */
  putBack(): TakenBack | undefined {
    const takenBack = this.#takenBack;
    if (!takenBack?.withdrawal) return undefined;
    this.#takenBack = undefined;
    return takenBack;
  }
}

function newest(sightings: readonly ProjectedSighting[]): ProjectedSighting[] {
  return sightings.toSorted((a, b) => b.record.seq - a.record.seq).slice(0, SHOWN);
}
