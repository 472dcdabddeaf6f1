import { utcInstant } from '../../../records/instant.ts';
import type { RecordDraft } from '../../../store/records/add-record.ts';
import type { TallyPost } from '../../../store/race/tally-settings.ts';
import { correctedFields, type CorrectionDraft } from '../../../tally/correction-draft.ts';
import type { TalliedRunner } from '../../../tally/tally-entry.ts';

/** Who tallies in which race. */
export interface Maker {
  readonly race: string;
  readonly observer: string;
}

export function sightingDraft(
  { race, observer }: Maker,
  { bib, gait, left, right, observedAt, passed }: TalliedRunner,
  method: TallyPost['method'],
  checkpoint: string,
): RecordDraft {
  return {
    ...{ kind: 'sighting', race, observer, checkpoint, bib },
    ...(gait === 'walk' ? { gait } : {}),
    ...{ left, right, method, observedAt: utcInstant(observedAt) },
    ...(passed ? { passed } : {}),
  };
}

/** `undefined` when nothing was changed. */
export function correctionRecord({ race, observer }: Maker, draft: CorrectionDraft): RecordDraft | undefined {
  const fields = correctedFields(draft);
  return fields && { kind: 'correction', race, observer, target: draft.target, ...fields };
}

export const withdrawalDraft = ({ race, observer }: Maker, target: string): RecordDraft => ({
  ...{ kind: 'withdrawal', race, observer, target },
});
