import type { ProjectedSighting } from '../../../records/projection.ts';
import {
  correctionActionOf,
  correctionStep,
  openCorrection,
  type CorrectionDraft,
} from '../../../tally/correction-draft.ts';
import type { TallyAction } from '../../../tally/tally-entry.ts';

/** The sighting that is open for correction, if one is. */
export class OpenCorrection {
  #draft = $state.raw<CorrectionDraft | undefined>();
  /** It may leave the last five meanwhile. */
  #sighting: ProjectedSighting | undefined;

  get draft(): CorrectionDraft | undefined {
    return this.#draft;
  }

  open(sighting: ProjectedSighting): void {
    this.#draft = openCorrection(sighting.record.id, sighting);
    this.#sighting = sighting;
  }

  /** One tap or key; says whether it asks to save. */
  act(action: TallyAction): boolean {
    if (!this.#draft) return false;
    const change = correctionActionOf(action);
    if (change) this.#draft = correctionStep(this.#draft, change);
    else if (action.type === 'clear') this.#draft = undefined;
    return action.type === 'confirm';
  }

  /** Closes it and gives what it was. */
  close(): { readonly draft: CorrectionDraft; readonly sighting: ProjectedSighting } | undefined {
    const [draft, sighting] = [this.#draft, this.#sighting];
    this.#draft = undefined;
    return draft && sighting && { draft, sighting };
  }
}
