import type { PlanDraft } from '../../plan/plan-draft.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { listPractice } from '../../store/practice-sessions.ts';
import { loadRehearsal } from '../../store/rehearsals.ts';
import { decimal } from '../../words/numbers.ts';
import { scoreOf } from '../practice/practice-desk.svelte.ts';

/** What practice on this device says of a plan's assumptions. */
export interface PractisedEye {
  /** How long a runner takes: from the last rehearsal, in which bibs are typed, else from the latest test. */
  readonly seconds: { readonly from: 'rehearsal' | 'test'; readonly observer: string; readonly each: number };
  /** Of the latest test; `null` without one that says how rearfoot is told from the rest. */
  readonly accuracy: { readonly observer: string; readonly sensitivity: number; readonly specificity: number } | null;
}

/** `null` where practice says nothing of it. */
export async function practisedEye(db: KerbsideDatabase): Promise<PractisedEye | null> {
  const [rehearsal, test] = await Promise.all([loadRehearsal(db), latestTest(db)]);
  const accuracy = test && {
    ...{ observer: test.observer, sensitivity: test.sensitivity, specificity: test.specificity },
  };
  if (rehearsal?.secondsEach != null) {
    return { seconds: { from: 'rehearsal', observer: rehearsal.observer, each: rehearsal.secondsEach }, accuracy };
  }
  return test && { seconds: { from: 'test', observer: test.observer, each: test.secondsEach }, accuracy };
}

interface TestedEye {
  readonly observer: string;
  readonly secondsEach: number;
  readonly sensitivity: number;
  readonly specificity: number;
}

/** The latest test on this device that says how rearfoot is told from the rest; `null` without one. */
async function latestTest(db: KerbsideDatabase): Promise<TestedEye | null> {
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
export function withPractisedEye(
  draft: PlanDraft,
  { seconds, accuracy }: PractisedEye,
  places: readonly string[],
): PlanDraft {
  const { validation } = draft.answers;
  const eye = accuracy && { sensitivity: accuracy.sensitivity, specificity: accuracy.specificity };
  return {
    ...draft,
    answers: { ...draft.answers, ...(eye ? { validation: { ...validation, ...eye } } : {}) },
    places: {
      ...draft.places,
      ...Object.fromEntries(places.map((id) => [id, { ...draft.places[id], secondsEach: seconds.each }])),
    },
  };
}

/** What was taken, in one sentence. */
export function takenWords({ seconds, accuracy }: PractisedEye): string {
  const bound = seconds.from === 'test' ? ', a lower bound, since no bib was typed' : '';
  const eye = accuracy ? `; accuracy from the test of ${accuracy.observer}` : '';
  return `Taken from the ${seconds.from} of ${seconds.observer}: ${decimal(seconds.each, 1)} s a runner${bound}${eye}.`;
}
