import { utcInstant } from '../../records/instant.ts';
import { newId } from '../../records/new-id.ts';
import type { SessionScore } from '../../practice/practice-scores.ts';
import {
  keyAndAnswers,
  setName,
  type ClipItem,
  type DrawnSession,
  type PracticeAnswer,
  type PracticeSession,
} from '../../practice/practice-session.ts';
import { scoreAnswers } from '../../practice/score-answers.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import {
  beginPractice,
  erasePractice,
  keepPracticeAnswer,
  listPractice,
  loadPracticeObserver,
  savePracticeObserver,
  type StoredPractice,
} from '../../store/practice-sessions.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';
import { browserSurroundings } from '../browser-surroundings.ts';
import { saveBlob } from '../save-blob.ts';

/** What a drawn session is asked for with. */
export type DrawnChoice = Pick<DrawnSession, 'kind' | 'items' | 'level' | 'mix'>;

/** A clip set as it is asked for. */
export interface ClipChoice {
  readonly set: string;
  readonly clips: readonly ClipItem[];
  readonly rate: number;
}

/** The sessions on this device: begins them, keeps their answers, scores, saves and erases them. */
export class PracticeDesk {
  #sessions = $state.raw<readonly StoredPractice[] | null>(null);
  #observer = $state('');
  #problem = $state('');

  constructor(private readonly db: KerbsideDatabase) {}

  /** The latest first; `null` until they are read. */
  get sessions() {
    return this.#sessions;
  }
  get observer() {
    return this.#observer;
  }
  get problem() {
    return this.#problem;
  }

  async read(): Promise<void> {
    await this.#work(async () => {
      this.#observer ||= await loadPracticeObserver(this.db);
      this.#sessions = await listPractice(this.db);
    });
  }

  /** Begins a session on drawn landings; nothing when the device could not keep it. */
  beginDrawn(observer: string, choice: DrawnChoice): Promise<DrawnSession | undefined> {
    const seed = new DataView(browserSurroundings.randomBytes(new Uint8Array(4)).buffer as ArrayBuffer).getUint32(0);
    return this.#begin({ ...this.#who(observer), ...choice, seed });
  }

  beginClips(observer: string, choice: ClipChoice) {
    return this.#begin({ ...this.#who(observer), kind: 'clips' as const, ...choice });
  }

  /** Keeps an answer; throws where the device could not. */
  keep(answer: PracticeAnswer): Promise<void> {
    return keepPracticeAnswer(this.db, answer);
  }

  fail(error: unknown): void {
    this.#problem = `The answer was not kept. ${storeFailureWords(storeFailure(error))}`;
  }

  async erase(ids: readonly string[]): Promise<void> {
    await this.#work(() => erasePractice(this.db, ids));
    await this.read();
  }

  async saveAnswers(chosen: readonly StoredPractice[]): Promise<void> {
    const { practiceCsv } = await import('../../tables/practice/practice-writing.ts');
    saveBlob(new Blob([...practiceCsv(chosen)], { type: 'text/csv' }), 'practice.csv');
  }

  async saveRunners(chosen: readonly StoredPractice[]): Promise<void> {
    const { practiceRunnersCsv } = await import('../../tables/practice/practice-writing.ts');
    saveBlob(new Blob([...practiceRunnersCsv(chosen)], { type: 'text/csv' }), 'practice-runners.csv');
  }

  async saveDictionary(): Promise<void> {
    const { practiceDictionary } = await import('../../tables/practice/practice-writing.ts');
    const dictionary = practiceDictionary(utcInstant(browserSurroundings.now()));
    saveBlob(
      new Blob([JSON.stringify(dictionary, null, 2)], { type: 'application/json' }),
      'practice-datapackage.json',
    );
  }

  #who(observer: string) {
    const startedAt = browserSurroundings.now();
    return { id: newId(startedAt, browserSurroundings.randomBytes), observer: observer.trim(), startedAt };
  }

  #begin<Session extends PracticeSession>(session: Session): Promise<Session | undefined> {
    return this.#work(async () => {
      await beginPractice(this.db, session);
      await savePracticeObserver(this.db, session.observer);
      this.#observer = session.observer;
      return session;
    });
  }

  async #work<Result>(work: () => Promise<Result>): Promise<Result | undefined> {
    this.#problem = '';
    try {
      return await work();
    } catch (error) {
      this.#problem = `This did not work. ${storeFailureWords(storeFailure(error))}`;
      return undefined;
    }
  }
}

/** The score of one session; `undefined` while nothing is answered. */
export function scoreOf({ session, answers }: StoredPractice): SessionScore | undefined {
  const taken = keyAndAnswers(session, answers);
  return taken.answers.length === 0 ? undefined : scoreAnswers(taken.answers, taken.key).scores[0];
}

export const sessionTitle = (session: PracticeSession): string => {
  if (session.kind === 'clips') return `Clips: ${setName(session)}`;
  const mix = session.mix === 'race' ? 'mix of a race' : 'a third of each';
  return `${session.kind === 'test' ? 'Test' : 'Training'}, level ${session.level}, ${mix}`;
};
