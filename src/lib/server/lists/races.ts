import * as v from 'valibot';
import { type Attempt, succeeded } from '../../records/attempt.ts';
import { jsonWithPlainNames } from '../../race/plain-names.ts';
import { type Race, raceSchema } from '../../race/race.ts';
import { type JoinCodes, MOST_COUNTED, type OpenedRace, type RaceList } from '../../wire/wire.ts';
import type { Caller } from '../join/caller.ts';
import { newCodes, readCodes } from '../join/codes.ts';
import { type Fault, fault } from '../fault.ts';
import type { Hub } from '../hub.ts';
import type { RaceRow } from '../database/hub-tables.ts';
import { lockRaceLog, newLogName } from '../database/race-log.ts';

/** Every table that holds something of a race, in the order in which their rows can go. */
const TABLES_OF_A_RACE = [
  'records',
  'early_targets',
  'refused',
  'lists',
  'codes',
  'tokens',
  'devices',
  'lifted',
  'held_up',
  'race_logs',
  'races',
] as const;

/** A set-up as it is stored and compared: fields in the schema's order, without the revision, which is the hub's own. */
function setupText(race: Race): string {
  const { revision: _, ...setup } = v.parse(raceSchema, race);
  return JSON.stringify(setup);
}

function asRace(row: Pick<RaceRow, 'setup' | 'revision'>): Race {
  return { ...(JSON.parse(jsonWithPlainNames(row.setup)) as Race), revision: row.revision };
}

const checkpointIds = (race: Race) => race.checkpoints.map((checkpoint) => checkpoint.id);

const revisionTooGreat = () => fault('malformed', `revision: expected at most ${MOST_COUNTED}.`);

/** Opens a race that was made on a device. The same again changes nothing and gives the same codes. */
export async function openRace(hub: Hub, race: Race): Promise<Attempt<OpenedRace & { readonly made: boolean }, Fault>> {
  if ((race.revision ?? 0) > MOST_COUNTED) return revisionTooGreat();
  return hub.adapter.write(async (tx) => {
    const setup = setupText(race);
    const revision = Math.max(1, race.revision ?? 1);
    const row = await tx
      .insertInto('races')
      .values({ id: race.id, setup, revision })
      .onConflict((conflict) => conflict.column('id').doNothing())
      .returning('race_no')
      .executeTakeFirst();
    if (row) {
      await tx
        .insertInto('race_logs')
        .values({
          race_no: row.race_no,
          log: newLogName(),
          last_arrival: 0,
          checkpoints: JSON.stringify(checkpointIds(race)),
          used: '[]',
          early: 0,
        })
        .execute();
      const codes = await newCodes(tx, row.race_no, ['observer', 'analyst']);
      return succeeded({ race: { ...race, revision }, codes, made: true });
    }
    const there = await tx.selectFrom('races').selectAll().where('id', '=', race.id).executeTakeFirstOrThrow();
    if (jsonWithPlainNames(there.setup) !== setup) {
      return fault('race-exists', 'This hub has a race with this id and another set-up: read it, then change it.');
    }
    return succeeded({ race: asRace(there), codes: await readCodes(tx, there.race_no), made: false });
  });
}

export async function listRacesOnHub(hub: Hub): Promise<RaceList> {
  const rows = await hub.db.selectFrom('races').selectAll().orderBy('race_no').execute();
  return {
    races: rows.map((row) => {
      const { id, name, date, revision } = asRace(row);
      return { id, name, date, revision: revision ?? 0 };
    }),
  };
}

export async function readRace(hub: Hub, caller: Caller): Promise<Attempt<Race, Fault>> {
  const row = await hub.db.selectFrom('races').selectAll().where('race_no', '=', caller.raceNo).executeTakeFirst();
  return row ? succeeded(asRace(row)) : fault('not-found', 'This hub has no such race.');
}

/** Changes a set-up that nobody has changed since `race.revision` was read. The same change sent again is no conflict. */
export async function changeRace(hub: Hub, caller: Caller, race: Race): Promise<Attempt<Race, Fault>> {
  if (race.id !== caller.raceId) return fault('malformed', 'id: expected the id of this race.');
  if (race.revision === undefined) return fault('malformed', 'revision: expected the revision that was read.');
  if (race.revision > MOST_COUNTED) return revisionTooGreat();
  const setup = setupText(race);
  return hub.adapter.write(async (tx, announce) => {
    const log = await lockRaceLog(hub.adapter, tx, caller.raceNo);
    if (!log) return fault('not-found', 'This hub has no such race.');
    const row = await tx.selectFrom('races').selectAll().where('race_no', '=', caller.raceNo).executeTakeFirstOrThrow();
    if (jsonWithPlainNames(row.setup) === setup) return succeeded(asRace(row));
    if (row.revision !== race.revision) {
      return fault(
        'revision',
        `The set-up was changed meanwhile: it is at revision ${row.revision} now. Read it again.`,
      );
    }
    const kept = new Set(checkpointIds(race));
    const gone = (JSON.parse(log.used) as string[]).filter((id) => !kept.has(id));
    if (gone.length > 0) {
      const names = asRace(row).checkpoints.filter(({ id }) => gone.includes(id));
      return fault(
        'checkpoint-has-records',
        `${names.map(({ name }) => name).join(', ')}: a checkpoint with records can be renamed but not removed.`,
      );
    }
    const revision = row.revision + 1;
    await tx.updateTable('races').set({ setup, revision }).where('race_no', '=', caller.raceNo).execute();
    await tx
      .updateTable('race_logs')
      .set({ checkpoints: JSON.stringify([...kept]) })
      .where('race_no', '=', caller.raceNo)
      .execute();
    await announce({ kind: 'setup', raceNo: caller.raceNo, what: 'race', revision });
    return succeeded({ ...race, revision });
  });
}

/** Erases everything of the race whose name was typed. */
export async function eraseRaceOnHub(hub: Hub, caller: Caller, name: string): Promise<Attempt<null, Fault>> {
  const erased = await hub.adapter.write<Attempt<null, Fault>>(async (tx) => {
    if (!(await lockRaceLog(hub.adapter, tx, caller.raceNo))) return fault('not-found', 'This hub has no such race.');
    const row = await tx.selectFrom('races').selectAll().where('race_no', '=', caller.raceNo).executeTakeFirstOrThrow();
    if (asRace(row).name !== name) return fault('wrong-name', 'This is not the name of the race: nothing was erased.');
    for (const table of TABLES_OF_A_RACE) {
      await tx.deleteFrom(table).where('race_no', '=', caller.raceNo).execute();
    }
    return succeeded(null);
  });
  if (erased.ok) await hub.adapter.afterErase();
  return erased;
}

export async function raceCodes(hub: Hub, caller: Caller): Promise<JoinCodes> {
  return readCodes(hub.db, caller.raceNo);
}
