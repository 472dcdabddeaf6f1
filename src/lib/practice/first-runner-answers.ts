import type { FootClass } from '../records/foot.ts';
import type { ClipItem, ClipSession, PracticeAnswer, PracticeSession } from './practice-session.ts';
import type { RunnerAnswer } from './runner-answer.ts';

/** Sessions with their answers, in any order. */
export type Sessions = readonly { readonly session: PracticeSession; readonly answers: readonly PracticeAnswer[] }[];

/** One runner of a clip set, both feet with a class, as one observer answered first. */
interface FirstRunnerAnswer {
  readonly session: ClipSession;
  readonly clip: ClipItem & { readonly keyLeft: FootClass; readonly keyRight: FootClass };
  readonly answer: PracticeAnswer;
}

const bothKnown = (clip: ClipItem): clip is FirstRunnerAnswer['clip'] =>
  clip.keyLeft !== null && clip.keyRight !== null;

/**
 * Answers to clip sets that can correct the shares of a race. An item is named by its set and its clip; of several answers
 * by one observer the first counts. A clip that has another key in a later session of the set of the same name keeps the key
 * of the earliest: later answers to it are left out, so that no item has two keys.
 */
export function firstRunnerAnswers(sessions: Sessions): RunnerAnswer[] {
  const keys = new Map<string, string>();
  const first = new Map<string, RunnerAnswer>();
  for (const { session, clip, answer } of runnersShown(sessions)) {
    const item = `${session.set}/${clip.item}`;
    const key = `${clip.keyLeft},${clip.keyRight}`;
    if ((keys.get(item) ?? key) !== key) continue;
    keys.set(item, key);
    const name = JSON.stringify([session.observer, item]);
    if (first.has(name)) continue;
    const { keyLeft, keyRight } = clip;
    const { left = 'unseen', right = 'unseen' } = answer;
    first.set(name, { item, observer: session.observer, keyLeft, keyRight, left, right });
  }
  return [...first.values()];
}

function runnersShown(sessions: Sessions): FirstRunnerAnswer[] {
  return [...sessions]
    .sort((a, b) => a.session.startedAt - b.session.startedAt)
    .flatMap(({ session, answers }) => {
      if (session.kind !== 'clips') return [];
      const clips = new Map(session.clips.filter(bothKnown).map((clip) => [clip.item, clip]));
      return answers.flatMap((answer) => {
        const clip = clips.get(answer.item);
        return clip ? [{ session, clip, answer }] : [];
      });
    });
}
