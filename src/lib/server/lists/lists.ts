import { type Attempt, succeeded } from '../../records/attempt.ts';
import { jsonWithPlainNames } from '../../race/plain-names.ts';
import type { ListSaved, ResultsMessage, StartListMessage } from '../../wire/wire.ts';
import type { Caller } from '../join/caller.ts';
import { type Fault, fault } from '../fault.ts';
import type { Hub } from '../hub.ts';
import { lockRaceLog } from '../database/race-log.ts';

export type ListName = 'startlist' | 'results';

/** A start list or results as JSON text, `{revision, rows}`; an observer gets the bibs alone. Revision 0 before the first. */
export async function readList(hub: Hub, caller: Caller, what: ListName): Promise<string> {
  const row = await hub.db
    .selectFrom('lists')
    .select(['revision', caller.role === 'observer' ? 'bibs as rows' : 'rows'])
    .where('race_no', '=', caller.raceNo)
    .where('what', '=', what)
    .executeTakeFirst();
  return row ? `{"revision":${row.revision},"rows":${jsonWithPlainNames(row.rows)}}` : '{"revision":0,"rows":[]}';
}

/** Replaces a list that nobody has replaced since `list.revision` was read. The same list sent again is no conflict. */
export async function saveList(
  hub: Hub,
  caller: Caller,
  what: ListName,
  list: StartListMessage | ResultsMessage,
): Promise<Attempt<ListSaved, Fault>> {
  const rows = JSON.stringify(list.rows);
  const bibs = JSON.stringify(list.rows.map(({ bib }) => ({ bib })));
  return hub.adapter.write(async (tx, announce) => {
    if (!(await lockRaceLog(hub.adapter, tx, caller.raceNo))) return fault('not-found', 'This hub has no such race.');
    const before = await tx
      .selectFrom('lists')
      .select(['revision', 'rows'])
      .where('race_no', '=', caller.raceNo)
      .where('what', '=', what)
      .executeTakeFirst();
    const stands = before?.revision ?? 0;
    if (before?.rows === rows) return succeeded({ revision: stands });
    if (list.revision !== stands) {
      return fault('revision', `The list was changed meanwhile: it is at revision ${stands} now. Read it again.`);
    }
    const revision = stands + 1;
    await tx
      .insertInto('lists')
      .values({ race_no: caller.raceNo, what, revision, rows, bibs })
      .onConflict((conflict) => conflict.columns(['race_no', 'what']).doUpdateSet({ revision, rows, bibs }))
      .execute();
    await announce({ kind: 'setup', raceNo: caller.raceNo, what, revision });
    return succeeded({ revision });
  });
}
