import type { RunnerAnswer } from '../../../practice/runner-answer.ts';
import { firstRunnerAnswers, type Sessions } from '../../../practice/first-runner-answers.ts';
import type { PracticeChoice } from '../../../store/race/race-practice.ts';

/** The practice answers that correct a race, and where they are from. */
export interface PracticeInUse {
  readonly from: PracticeChoice['from'];
  /** Name of the file; `null` where they are from none. */
  readonly file: string | null;
  /** `null`: none are used. */
  readonly answers: readonly RunnerAnswer[] | null;
  /** Answers kept on this device, where one of their observers tallied in the race; else 0. */
  readonly onDevice: number;
}

/** What a page says of them. */
export interface PracticeSummary extends Omit<PracticeInUse, 'answers'> {
  readonly answers: number;
  readonly items: number;
  /** Who answered, each once, by name. */
  readonly observers: readonly string[];
}

/**
 * The answers that a choice stands for. Those on this device count only where one of the observers tallied in the race: a
 * practice of strangers says nothing of it.
 *
 * @param sessions the practice kept on this device
 * @param observers who tallied in the race
 */
export function practiceInUse(choice: PracticeChoice, sessions: Sessions, observers: readonly string[]): PracticeInUse {
  const all = firstRunnerAnswers(sessions);
  const kept = all.some(({ observer }) => observers.includes(observer)) ? all : [];
  const onDevice = kept.length;
  if (choice.from === 'file') return { from: 'file', file: choice.name, answers: choice.answers, onDevice };
  const used = choice.from === 'device' && onDevice > 0;
  return { from: choice.from, file: null, answers: used ? kept : null, onDevice };
}

export function practiceSummary({ answers, ...where }: PracticeInUse): PracticeSummary {
  const given = answers ?? [];
  return {
    ...where,
    answers: given.length,
    items: new Set(given.map(({ item }) => item)).size,
    observers: [...new Set(given.map(({ observer }) => observer))].sort((a, b) => a.localeCompare(b, 'en')),
  };
}
