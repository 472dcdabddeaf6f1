import type { ProjectedSighting } from '../../../records/projection.ts';
import type { RecordDraft } from '../../../store/records/add-record.ts';
import type { CorrectionDraft } from '../../../tally/correction-draft.ts';
import type { TallyAction } from '../../../tally/tally-entry.ts';
import { bibInWords } from '../../foot-words.ts';
import { OpenCorrection } from './open-correction.svelte.ts';
import type { ShownRecords } from '../shown-records.svelte.ts';
import { correctionRecord, withdrawalDraft, type Maker } from './tally-drafts.ts';

/** What mending needs of the screen whose records it mends. */
export interface MendingNeeds {
  readonly shown: ShownRecords;
  readonly maker: () => Maker;
  /** Sends a record to the storage; `label` names it while it cannot be kept. */
  readonly write: (label: string, draft: RecordDraft) => void;
  /** Whether records are on their way that nothing holds up. */
  readonly underWay: () => boolean;
  /** Brings what is kept into the lists first. */
  readonly showKept: () => void;
}

/** What mends records that are kept: corrections, steps back and steps forward again. Nothing is overwritten. */
export class Mending {
  readonly #correction = new OpenCorrection();
  /** Steps back that wait for the records before them to be durable. */
  #undosDue = 0;

  constructor(private readonly needs: MendingNeeds) {}

  /** The correction that is open. */
  get draft(): CorrectionDraft | undefined {
    return this.#correction.draft;
  }

  open(sighting: ProjectedSighting): void {
    this.#correction.open(sighting);
  }

  close(): void {
    this.#correction.close();
  }

  /** One tap or key while a correction is open. */
  act(action: TallyAction): void {
    if (this.#correction.act(action)) this.save();
  }

  /** Writes what the open correction changes, and closes it. */
  save(): void {
    const closed = this.#correction.close();
    const record = closed && correctionRecord(this.needs.maker(), closed.draft);
    if (record) this.needs.write(`correction of ${bibInWords(closed.draft.before.bib)}`, record);
  }

  /** Withdraws the sighting that is open for correction. */
  withdrawOpen(): void {
    this.needs.showKept();
    const closed = this.#correction.close();
    if (closed) this.#withdraw(closed.sighting);
  }

  /** Withdraws the newest sighting that stands, once all before it is kept. */
  stepBack(): void {
    if (this.needs.underWay()) this.#undosDue += 1;
    else this.#withdrawLast();
  }

  /** Takes the last step back that is not redone yet forward again: the sighting stands again. */
  stepForward(): void {
    this.needs.showKept();
    const takenBack = this.needs.shown.redo();
    if (!takenBack) return;
    const { sighting, withdrawal } = takenBack;
    this.needs.write(`restoring ${bibInWords(sighting.bib)}`, withdrawalDraft(this.needs.maker(), withdrawal));
  }

  /** All that was on its way is kept: a step back that waited for it is taken now, and means the record before it. */
  allKept(): void {
    if (!this.#undosDue) return;
    this.#undosDue -= 1;
    this.#withdrawLast();
  }

  /** A record cannot be kept: it is listed on screen, and whether to take it back is asked anew. */
  notKept(): void {
    this.#undosDue = 0;
  }

  #withdrawLast(): void {
    this.needs.showKept();
    const { last } = this.needs.shown;
    if (last) this.#withdraw(last);
  }

  #withdraw(sighting: ProjectedSighting): void {
    const draft = withdrawalDraft(this.needs.maker(), sighting.record.id);
    this.needs.write(`withdrawal of ${bibInWords(sighting.bib)}`, draft);
    this.needs.shown.takeBack(sighting);
  }
}
