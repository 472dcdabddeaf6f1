import { addRecord } from '../../store/records/add-record.ts';
import { recordCounts } from '../../store/records/record-counters.ts';
import { recordSource } from '../../store/records/records.ts';
import { extendCodes } from '../../store/code-list.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { findHubLink } from '../../store/hub/hub-links.ts';
import { deviceKnowledge } from '../../store/hub/known-devices.ts';
import { listPractice } from '../../store/practice-sessions.ts';
import { checkBasis } from '../../store/race/check-count.ts';
import { loadOldDraws } from '../../store/race/old-draws.ts';
import { loadPracticeChoice } from '../../store/race/race-practice.ts';
import { findRace, loadResults, loadStartList } from '../../store/race/races.ts';
import { bibCodes } from '../../tables/coded-export/bib-codes.ts';
import type { RecordDraft } from '../../store/records/add-record.ts';
import { browserSurroundings } from '../browser-surroundings.ts';

/** What a worker may ask of the page's database. */
export const storeCalls = (db: KerbsideDatabase) => ({
  ...recordSource(db),
  findRace: (raceId: string) => findRace(db, raceId),
  loadStartList: (raceId: string) => loadStartList(db, raceId),
  loadResults: (raceId: string) => loadResults(db, raceId),
  findHubLink: (raceId: string) => findHubLink(db, raceId),
  deviceKnowledge: (raceId: string) => deviceKnowledge(db, raceId),
  checkBasis: (raceId: string) => checkBasis(db, raceId),
  recordCounts: (raceId: string) => recordCounts(db, raceId),
  loadOldDraws: (raceId: string) => loadOldDraws(db, raceId),
  loadPracticeChoice: (raceId: string) => loadPracticeChoice(db, raceId),
  listPractice: () => listPractice(db),
  addRecord: (draft: RecordDraft, now: number) =>
    addRecord(db, draft, { now, randomBytes: browserSurroundings.randomBytes }),
  /** The codes of these texts under a key, kept on this device so that a later export uses the same. */
  codesOf: (key: string, texts: readonly string[]) =>
    extendCodes(db, key, (known) => bibCodes(texts, known, browserSurroundings.randomBytes)),
});

/** The page's database as a worker knows it. */
export type StoreDoor = ReturnType<typeof storeCalls>;
