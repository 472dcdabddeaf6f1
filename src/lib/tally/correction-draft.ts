import type { Foot } from '../records/foot.ts';
import type { SeenRunner } from '../records/seen-runner.ts';
import { LIMITS } from '../records/record-fields.ts';
import type { Feet, TallyAction } from './tally-entry.ts';

/** What can be corrected of a sighting. */
export interface CorrectableFields extends SeenRunner {
  readonly checkpoint: string;
}

/** A sighting opened for correction: how it stands, and what it is being changed to. */
export interface CorrectionDraft {
  readonly target: string;
  readonly before: CorrectableFields;
  readonly after: CorrectableFields;
  /** The next character begins the bib anew. */
  readonly freshBib: boolean;
}

export type CorrectionAction =
  | { readonly type: 'character'; readonly character: string }
  | { readonly type: 'erase' }
  | { readonly type: 'bib'; readonly bib: string }
  | { readonly type: 'noBib' }
  | { readonly type: 'feet'; readonly feet: Feet; readonly foot: Foot }
  | { readonly type: 'walking' }
  | { readonly type: 'checkpoint'; readonly id: string };

/** What a tap means while a sighting is open for correction; nothing for those that only make sense for the next runner. */
export function correctionActionOf(action: TallyAction): CorrectionAction | undefined {
  switch (action.type) {
    case 'candidate':
      return { type: 'bib', bib: action.bib };
    case 'character':
    case 'erase':
    case 'noBib':
    case 'feet':
    case 'walking':
    case 'checkpoint':
      return action;
    default:
      return undefined;
  }
}

/** Opens a sighting, as it now stands, for correction. */
export function openCorrection(target: string, seen: CorrectableFields): CorrectionDraft {
  const { checkpoint, bib, gait, left, right } = seen;
  const before = { checkpoint, bib, gait, left, right };
  return { target, before, after: before, freshBib: true };
}

/** The draft after one tap or key. */
export function correctionStep(draft: CorrectionDraft, action: CorrectionAction): CorrectionDraft {
  const { after } = draft;
  switch (action.type) {
    case 'character': {
      const start = draft.freshBib ? '' : (after.bib ?? '');
      return start.length < LIMITS.bib ? withBib(draft, start + action.character) : draft;
    }
    case 'erase':
      return withBib(draft, after.bib?.slice(0, -1) || null);
    case 'bib':
      // Chosen as a whole.
      return { ...withBib(draft, action.bib), freshBib: true };
    case 'noBib':
      return withBib(draft, null);
    case 'feet': {
      // A walker who runs after all has no class yet on the other foot.
      const running = after.gait === 'run' ? after : { left: 'unseen' as const, right: 'unseen' as const };
      const left = action.feet === 'right' ? running.left : action.foot;
      const right = action.feet === 'left' ? running.right : action.foot;
      return { ...draft, after: { ...after, gait: 'run', left, right } };
    }
    case 'walking':
      return { ...draft, after: { ...after, gait: 'walk', left: 'unseen', right: 'unseen' } };
    case 'checkpoint':
      return { ...draft, after: { ...after, checkpoint: action.id } };
  }
}

const withBib = (draft: CorrectionDraft, bib: string | null): CorrectionDraft => ({
  ...draft,
  after: { ...draft.after, bib },
  freshBib: false,
});

/** The fields of the correction record: only what changed, gait and feet together; `undefined` when nothing did. */
export function correctedFields(draft: CorrectionDraft): Partial<CorrectableFields> | undefined {
  const { before, after } = draft;
  const feetChanged = before.gait !== after.gait || before.left !== after.left || before.right !== after.right;
  const fields: Partial<CorrectableFields> = {
    ...(before.checkpoint === after.checkpoint ? {} : { checkpoint: after.checkpoint }),
    ...(before.bib === after.bib ? {} : { bib: after.bib }),
    ...(feetChanged ? { gait: after.gait, left: after.left, right: after.right } : {}),
  };
  return Object.keys(fields).length ? fields : undefined;
}
