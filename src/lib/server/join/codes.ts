import type { Kysely, Transaction } from 'kysely';
import type { JoinCodes, JoinRole } from '../../wire/wire.ts';
import type { Caller } from './caller.ts';
import { sha256 } from '../hash.ts';
import type { Hub } from '../hub.ts';
import type { HubTables } from '../database/hub-tables.ts';
import { newJoinCode, plainCode } from './join-code.ts';

/** Gives the named roles new join codes; the old ones let nobody in any more. Returns all codes of the race. */
export async function newCodes(
  tx: Transaction<HubTables>,
  raceNo: number,
  roles: readonly JoinRole[],
): Promise<JoinCodes> {
  for (const role of new Set(roles)) {
    const code = newJoinCode();
    const code_hash = sha256(plainCode(code));
    await tx
      .insertInto('codes')
      .values({ race_no: raceNo, role, code, code_hash })
      .onConflict((conflict) => conflict.columns(['race_no', 'role']).doUpdateSet({ code, code_hash }))
      .execute();
  }
  return readCodes(tx, raceNo);
}

export async function readCodes(db: Kysely<HubTables>, raceNo: number): Promise<JoinCodes> {
  const rows = await db.selectFrom('codes').select(['role', 'code']).where('race_no', '=', raceNo).execute();
  const code = (role: JoinRole) => rows.find((row) => row.role === role)?.code ?? '';
  return { observer: code('observer'), analyst: code('analyst') };
}

export async function renewCodes(hub: Hub, caller: Caller, roles: readonly JoinRole[]): Promise<JoinCodes> {
  return hub.adapter.write(async (tx) => {
    // Who crowds in with an old code is kept out by that.
    await tx
      .deleteFrom('held_up')
      .where('race_no', '=', caller.raceNo)
      .where('limit_name', '=', 'code-joins')
      .execute();
    return newCodes(tx, caller.raceNo, roles);
  });
}
