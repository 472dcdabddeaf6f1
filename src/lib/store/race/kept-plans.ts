import { projectRecords } from '../../records/projection.ts';
import type { PlanRecord, TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase } from '../database.ts';
import { recordsOfBlock } from '../records/record-block.ts';
import { blockSubject, recordSubject } from '../records/record-subject.ts';

/** The plan kept with the race, made here or elsewhere: the latest that is not withdrawn. No other record is read. */
export async function findKeptPlan(db: KerbsideDatabase, raceId: string): Promise<PlanRecord | null> {
  const found: TallyRecord[] = [];
  // A withdrawal has an id for its subject, and may be withdrawn itself.
  let subjects = ['plan'];
  while (subjects.length > 0) {
    const about = (await Promise.all(subjects.map((subject) => recordsAbout(db, raceId, subject)))).flat();
    const known = new Set(found.map(({ id }) => id));
    const fresh = about.filter(({ id }) => !known.has(id));
    found.push(...fresh);
    subjects = [...new Set(fresh.map(({ id }) => id))];
  }
  return projectRecords(found).plan;
}

async function recordsAbout(db: KerbsideDatabase, raceId: string, subject: string): Promise<TallyRecord[]> {
  const [own, pulled] = await Promise.all([
    db.records.where('[race+subject]').equals([raceId, subject]).toArray(),
    db.blocks.where('subjects').equals(blockSubject(raceId, subject)).toArray(),
  ]);
  const others = pulled.flatMap(recordsOfBlock).filter((record) => recordSubject(record) === subject);
  return [...own.map(({ record }) => record), ...others];
}
