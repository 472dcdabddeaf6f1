import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import type { TallyRecord } from '../../../src/lib/records/record.ts';
import { answersOfFile, correctedRuns } from './corrected-cases.ts';
import type { RaceToSeed } from '../browser/seed-race.ts';

// The case `practice` of cases-corrected: its figures are held to R's by corrected-cases.test.ts.
export const practisedRun = correctedRuns().find(({ name }) => name === 'practice/expected.json')!;
const race = {
  id: '11111111-2222-4333-8444-666666666666',
  name: 'Causeway Half',
  date: '2032-05-12',
  checkpoints: [
    { id: 'toll', name: 'Toll House', km: 4 },
    { id: 'groyne', name: 'Long Groyne', km: 18 },
  ],
};

/** The sightings of the case, whose fields hold neither commas nor quotes, as records. */
function records(): TallyRecord[] {
  const [, ...lines] = readFileSync(practisedRun.sightings, 'utf8').trim().split(/\r?\n/);
  return lines.map((line, i): TallyRecord => {
    const [, , checkpoint, , bib, left, right, observer, method, observedAt] = line.split(',');
    const at = new Date(observedAt!).toISOString();
    return {
      ...{ kind: 'sighting', id: `01970000-0000-7000-8000-${String(i).padStart(12, '0')}`, race: race.id },
      ...{ observer: observer!, device: 'device', seq: i + 1, madeAt: at, observedAt: at },
      checkpoint: race.checkpoints.find(({ name }) => name === checkpoint)!.id,
      bib: bib!.trim() || null,
      ...{ left: left as 'rearfoot', right: right as 'rearfoot', method: method as 'live' },
    };
  });
}

/** The race of the case as a device has it. */
export const practisedRace: RaceToSeed = { race, startList: [], results: [], records: records() };

/** Puts the answers of the case on the device as sessions on a clip set, one an observer. */
export async function keepPractisedSessions(page: Page): Promise<void> {
  const answers = answersOfFile(readFileSync(practisedRun.practice!));
  const clips = [
    ...new Map(answers.map(({ item, keyLeft, keyRight }) => [item, { item, keyLeft, keyRight }])).values(),
  ];
  const sessions = [...new Set(answers.map(({ observer }) => observer))].map((observer, i) => ({
    ...{ id: `session-${observer}`, observer, startedAt: i + 1, kind: 'clips', set: 'Causeway', clips, rate: 1 },
  }));
  const given = answers.map(({ item, observer, left, right }, i) => ({
    ...{ session: `session-${observer}`, position: i + 1, item, left, right, responseMs: 900, shownAt: i, voided: 0 },
  }));
  await page.evaluate(
    async ([sessions, given]) => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open('kerbside');
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error('no database'));
      });
      const transaction = db.transaction(['practiceSessions', 'practiceAnswers'], 'readwrite');
      for (const session of sessions) transaction.objectStore('practiceSessions').put(session);
      for (const answer of given) transaction.objectStore('practiceAnswers').put(answer);
      await new Promise<void>((resolve, reject) => {
        transaction.oncomplete = () => resolve();
        transaction.onabort = () => reject(transaction.error ?? new Error('keeping failed'));
      });
      db.close();
    },
    [sessions, given] as const,
  );
}
