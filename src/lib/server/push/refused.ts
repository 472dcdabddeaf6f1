import type { Kysely, Transaction } from 'kysely';
import { utcInstant } from '../../records/instant.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { RefusedRecord } from '../../wire/wire.ts';
import { sha256 } from '../hash.ts';
import { MOST_REFUSED_KEPT } from '../limits/limits-of-a-race.ts';
import type { HubTables } from '../database/hub-tables.ts';
import type { Push } from './push.ts';
import type { SoundRecord } from '../../wire/record-list-text.ts';

const PAGE = 1000;

/** A refused record that the organiser is to see. */
export interface KeptApart {
  readonly sound: SoundRecord;
  readonly reason: string;
}

/** Keeps refused records apart for the organiser; the same one again is kept once. */
export async function keepRefused(
  tx: Transaction<HubTables>,
  { raceNo, bringer, now }: Push,
  refused: readonly KeptApart[],
): Promise<void> {
  const rows = refused.map(({ sound, reason }) => ({
    race_no: raceNo,
    record_id: sound.record.id,
    body_hash: sha256(sound.line),
    reason,
    body: sound.line,
    brought_by: bringer.device,
    at: now,
  }));
  if (rows.length === 0) return;
  const { kept } = await tx
    .selectFrom('refused')
    .select((select) => select.fn.countAll<number>().as('kept'))
    .where('race_no', '=', raceNo)
    .where('brought_by', bringer.device === null ? 'is' : '=', bringer.device)
    .executeTakeFirstOrThrow();
  if (bringer.role === 'observer' && Number(kept) >= MOST_REFUSED_KEPT) return;
  await tx
    .insertInto('refused')
    .values(rows)
    .onConflict((conflict) => conflict.columns(['race_no', 'record_id', 'body_hash']).doNothing())
    .execute();
}

/** Refused records after number `after`, oldest first, beside what stands under their ids. */
export async function listRefused(
  db: Kysely<HubTables>,
  raceNo: number,
  after: number,
): Promise<{ records: RefusedRecord[]; more: boolean }> {
  const rows = await db
    .selectFrom('refused')
    .leftJoin('records', (join) =>
      join.onRef('records.race_no', '=', 'refused.race_no').onRef('records.id', '=', 'refused.record_id'),
    )
    .select([
      'refused.no',
      'refused.reason',
      'refused.body',
      'refused.brought_by',
      'refused.at',
      'records.body as stands',
    ])
    .where('refused.race_no', '=', raceNo)
    .where('refused.no', '>', after)
    .orderBy('refused.no')
    .limit(PAGE + 1)
    .execute();
  const records = rows.slice(0, PAGE).map((row) => ({
    no: row.no,
    reason: row.reason,
    record: JSON.parse(row.body) as TallyRecord,
    stands: row.stands === null ? null : (JSON.parse(row.stands) as TallyRecord),
    broughtBy: row.brought_by,
    at: utcInstant(row.at),
  }));
  return { records, more: rows.length > PAGE };
}
