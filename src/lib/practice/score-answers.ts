import { compareCodePoints } from '../records/code-point-order.ts';
import type { Answer, KeyItem } from './key-and-answers.ts';
import { RACE_MIX, type Mix } from './practice-levels.ts';
import type { PracticeScores } from './practice-scores.ts';
import { scoreSession } from './score-session.ts';

export interface ScoreOptions {
  /** Level of all intervals, between 0 and 1. */
  readonly level?: number;
  /** Weights of the classes in the field the score is for; by default those of road races. */
  readonly mix?: Mix;
}

/**
 * Scores every session of every observer against the key. An item answered again in a session counts once, as it was
 * answered first.
 *
 * @param key each item once
 * @param answers each to an item of the key
 * @throws RangeError for an item twice in the key or an answer to no item of it: readers of files say so before
 */
export function scoreAnswers(
  answers: readonly Answer[],
  key: readonly KeyItem[],
  { level = 0.95, mix = RACE_MIX }: ScoreOptions = {},
): PracticeScores {
  const keyByItem = new Map(key.map((item) => [item.item, item]));
  if (keyByItem.size < key.length) throw new RangeError('an item is twice in the key');
  const keyOf = (item: string): KeyItem => {
    const found = keyByItem.get(item);
    if (!found) throw new RangeError(`answer to ${item}, no item of the key`);
    return found;
  };
  const sessions = bySession(answers);
  const kept = sessions.map(firstAnswers);
  const missing = missingCounter(key, keyOf);
  const used = kept.reduce((sum, session) => sum + session.length, 0);
  return {
    inputs: { answers: answers.length, items: key.length, excluded: { repeats: answers.length - used } },
    scores: kept.map((session) => scoreSession(session, keyOf, missing(session), weightsOf(mix), level)),
  };
}

/** One list a session, by observer and session, each in order of showing. */
function bySession(answers: readonly Answer[]): Answer[][] {
  const sorted = [...answers].sort(
    (a, b) =>
      compareCodePoints(a.observer, b.observer) || compareCodePoints(a.session, b.session) || a.position - b.position,
  );
  const sessions: Answer[][] = [];
  for (const answer of sorted) {
    const last = sessions.at(-1)?.[0];
    if (last?.observer === answer.observer && last.session === answer.session) sessions.at(-1)!.push(answer);
    else sessions.push([answer]);
  }
  return sessions;
}

function firstAnswers(session: readonly Answer[]): Answer[] {
  const seen = new Set<string>();
  return session.filter(({ item }) => !seen.has(item) && seen.add(item));
}

/** Counts the items that a session did not answer; where the key holds several sets, those of other sets are not missing. */
function missingCounter(key: readonly KeyItem[], keyOf: (item: string) => KeyItem) {
  const ofSet = new Map<string | undefined, number>();
  for (const { set } of key) ofSet.set(set, (ofSet.get(set) ?? 0) + 1);
  return (session: readonly Answer[]): number => {
    const sets = new Set(session.map(({ item }) => keyOf(item).set));
    return [...sets].reduce((sum, set) => sum + ofSet.get(set)!, 0) - session.length;
  };
}

function weightsOf(mix: Mix): Mix {
  const whole = mix[0] + mix[1] + mix[2];
  return [mix[0] / whole, mix[1] / whole, mix[2] / whole];
}
