import { Dexie } from 'dexie';
import type { PracticeAnswer, PracticeSession } from '../practice/practice-session.ts';
import type { KerbsideDatabase } from './database.ts';

/** A session with its answers, in order of showing. */
export interface StoredPractice {
  readonly session: PracticeSession;
  readonly answers: readonly PracticeAnswer[];
}

const answersOf = (db: KerbsideDatabase, session: string) =>
  db.practiceAnswers.where('[session+position]').between([session, Dexie.minKey], [session, Dexie.maxKey]);

/** Begins a session. Sessions are no race records: they are handed in nowhere. They correct shares on this device alone. */
export async function beginPractice(db: KerbsideDatabase, session: PracticeSession): Promise<void> {
  await db.practiceSessions.add(session);
}

/** Keeps an answer as it falls: written once, never changed. */
export async function keepPracticeAnswer(db: KerbsideDatabase, answer: PracticeAnswer): Promise<void> {
  await db.practiceAnswers.add(answer);
}

/** All sessions on this device with their answers, the latest first. */
export async function listPractice(db: KerbsideDatabase): Promise<StoredPractice[]> {
  const sessions = await db.practiceSessions.orderBy('startedAt').reverse().toArray();
  return Promise.all(
    sessions.map(async (session) => ({ session, answers: await answersOf(db, session.id).toArray() })),
  );
}

/** Erases sessions from this device, for good: nobody else has them. */
export async function erasePractice(db: KerbsideDatabase, ids: readonly string[]): Promise<void> {
  await db.transaction('rw', db.practiceSessions, db.practiceAnswers, async () => {
    for (const id of ids) await answersOf(db, id).delete();
    await db.practiceSessions.bulkDelete([...ids]);
  });
}

const OBSERVER_KEY = 'practice-observer';

/** Who practised here last; empty when nobody did. */
export async function loadPracticeObserver(db: KerbsideDatabase): Promise<string> {
  const value = (await db.settings.get(OBSERVER_KEY))?.value;
  return typeof value === 'string' ? value : '';
}

export async function savePracticeObserver(db: KerbsideDatabase, observer: string): Promise<void> {
  await db.settings.put({ key: OBSERVER_KEY, value: observer });
}
