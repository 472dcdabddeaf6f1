import type { Foot, FootClass } from '../records/foot.ts';
import { utcInstant } from '../records/instant.ts';
import { drawSet } from './draw-set.ts';
import type { Answer, KeyItem } from './key-and-answers.ts';
import type { Landing } from './landing.ts';
import { BALANCED_MIX, RACE_MIX, type LevelNumber } from './practice-levels.ts';

/** A class put in for each foot of a runner on a clip; `null` where there is none that all agree on. */
export interface ClipItem {
  readonly item: string;
  readonly keyLeft: FootClass | null;
  readonly keyRight: FootClass | null;
}

interface SessionOfAnyKind {
  readonly id: string;
  readonly observer: string;
  /** Milliseconds since 1970. */
  readonly startedAt: number;
}

/** A session on drawn landings. */
export interface DrawnSession extends SessionOfAnyKind {
  readonly kind: 'training' | 'test';
  readonly seed: number;
  readonly items: number;
  readonly level: LevelNumber;
  readonly mix: 'balanced' | 'race';
}

/** A session on clips of whole runners. */
export interface ClipSession extends SessionOfAnyKind {
  readonly kind: 'clips';
  /** The set's name. */
  readonly set: string;
  readonly clips: readonly ClipItem[];
  /** Speed of showing: 1 is as it happened. */
  readonly rate: number;
}

export type PracticeSession = DrawnSession | ClipSession;

/** An answer as it fell: one foot of a drawn item, both feet of a clip. */
export interface PracticeAnswer {
  readonly session: string;
  /** Order of showing, from 1. */
  readonly position: number;
  readonly item: string;
  readonly answer?: Foot;
  readonly left?: Foot;
  readonly right?: Foot;
  /** From first contact to the tap, of a clip to the last of two, milliseconds. */
  readonly responseMs: number;
  /** Milliseconds since 1970. */
  readonly shownAt: number;
  /** How often it was shown before without counting, because a frame took too long. */
  readonly voided: number;
}

const MIXES = { balanced: BALANCED_MIX, race: RACE_MIX } as const;

/** The landings of a session, drawn anew from its seed. */
export function landingsOf({ seed, items, level, mix }: DrawnSession): Landing[] {
  return drawSet({ seed, items, level, mix: MIXES[mix] });
}

/** The name of a session's set, as its table has it. */
export const setName = (session: PracticeSession): string =>
  session.kind === 'clips' ? session.set : String(session.seed);

/** A session as the scores take it. */
export function keyAndAnswers(
  session: PracticeSession,
  given: readonly PracticeAnswer[],
): { readonly key: KeyItem[]; readonly answers: Answer[] } {
  return session.kind === 'clips' ? ofClips(session, given) : ofLandings(session, given);
}

function ofLandings(session: DrawnSession, given: readonly PracticeAnswer[]) {
  const key = landingsOf(session).map(({ item, class: name, foot, rate, level }): KeyItem => ({
    item,
    class: name,
    foot,
    rate,
    level,
  }));
  const answers = given.map((one) => answerOf(session, one, one.item, one.answer ?? 'unseen'));
  return { key, answers };
}

const FEET = [
  ['left', 'keyLeft'],
  ['right', 'keyRight'],
] as const;

/** Each foot of a runner is an item of its own, `ITEM/left` and `ITEM/right`; one without a class is none. */
function ofClips(session: ClipSession, given: readonly PracticeAnswer[]) {
  const key = session.clips.flatMap((clip) =>
    FEET.flatMap(([foot, known]): KeyItem[] => {
      const name = clip[known];
      return name === null
        ? []
        : [{ item: `${clip.item}/${foot}`, class: name, foot: null, rate: session.rate, level: null }];
    }),
  );
  const inKey = new Set(key.map(({ item }) => item));
  const answers = given
    .flatMap((one) => FEET.map(([foot]) => answerOf(session, one, `${one.item}/${foot}`, one[foot] ?? 'unseen')))
    .filter(({ item }) => inKey.has(item));
  return { key, answers };
}

const answerOf = (session: PracticeSession, one: PracticeAnswer, item: string, answer: Foot): Answer => ({
  session: session.id,
  observer: session.observer,
  position: one.position,
  item,
  answer,
  responseMs: one.responseMs,
});

/** One row of `practice.csv`: a foot that was asked about and answered. */
export interface PracticeRow extends Omit<Answer, 'responseMs'> {
  readonly set: string;
  readonly class: FootClass;
  readonly foot: string;
  readonly rate: number;
  readonly level: number | null;
  readonly landing: Landing | null;
  readonly responseMs: number;
  readonly shownAt: string;
  readonly voided: number;
}

/** The rows of a session in order of showing. */
export function practiceRows(session: PracticeSession, given: readonly PracticeAnswer[]): PracticeRow[] {
  const { key, answers } = keyAndAnswers(session, given);
  const keyByItem = new Map(key.map((one) => [one.item, one]));
  const landings = new Map(session.kind === 'clips' ? [] : landingsOf(session).map((one) => [one.item, one]));
  const shown = new Map(given.map((one) => [one.position, one]));
  return answers.map((answer) => {
    const { class: name, foot, rate, level } = keyByItem.get(answer.item)!;
    const { shownAt, voided } = shown.get(answer.position)!;
    return {
      ...answer,
      set: setName(session),
      class: name,
      foot: foot ?? '',
      rate,
      level,
      landing: landings.get(answer.item) ?? null,
      shownAt: utcInstant(shownAt),
      voided,
    };
  });
}
