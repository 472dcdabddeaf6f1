import type { PlanDraft } from '../../plan/plan-draft.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { listPractice } from '../../store/practice-sessions.ts';
import { scoreOf } from '../practice/practice-desk.svelte.ts';

/** What an observer's practice says of a plan's assumptions. */
export interface PractisedEye {
  readonly observer: string;
  /** Seconds a runner takes, a lower bound: no bib is typed. */
  readonly secondsEach: number;
  readonly sensitivity: number;
  readonly specificity: number;
}

/** The latest test on this device that says how rearfoot is told from the rest; `null` without one. */
export async function latestTest(db: KerbsideDatabase): Promise<PractisedEye | null> {
  for (const stored of await listPractice(db)) {
    if (stored.session.kind !== 'test') continue;
    const score = scoreOf(stored);
    const { sensitivity, specificity } = score?.rearfoot ?? {};
    const median = score?.time.median ?? null;
    if (median === null || sensitivity?.share == null || specificity?.share == null) continue;
    return {
      observer: stored.session.observer,
      secondsEach: Math.round(median / 100) / 10,
      sensitivity: sensitivity.share,
      specificity: specificity.share,
    };
  }
  return null;
}

/** The plan with a practised eye at every place. */
export function withPractisedEye(draft: PlanDraft, eye: PractisedEye, places: readonly string[]): PlanDraft {
  const { secondsEach, sensitivity, specificity } = eye;
  return {
    ...draft,
    answers: { ...draft.answers, validation: { ...draft.answers.validation, sensitivity, specificity } },
    places: {
      ...draft.places,
      ...Object.fromEntries(places.map((id) => [id, { ...draft.places[id], secondsEach }])),
    },
  };
}
