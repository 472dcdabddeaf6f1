import { randomBytes } from 'node:crypto';
import type { Transaction } from 'kysely';
import { failed, type Attempt, succeeded } from '../../records/attempt.ts';
import { jsonWithPlainNames } from '../../race/plain-names.ts';
import type { Race } from '../../race/race.ts';
import type { Joined, JoinMessage, JoinRole } from '../../wire/wire.ts';
import { type Fault, fault } from '../fault.ts';
import { liftedLimits, WHOLE_RACE } from '../limits/lifted-limits.ts';
import { LIMITS_OF_A_RACE } from '../limits/limits-of-a-race.ts';
import type { Met } from '../limits/race-limits.ts';
import { sha256 } from '../hash.ts';
import type { Hub } from '../hub.ts';
import type { HubTables } from '../database/hub-tables.ts';
import { codeHasRunOut, plainCode } from './join-code.ts';
import { lockRaceLog } from '../database/race-log.ts';

const MOST_WRONG_CODES = 10;
const WRONG_CODES_WINDOW_MS = 60_000;

export interface JoinRequest {
  readonly message: JoinMessage;
  /** The secret that came in `Authorization`, if any. */
  readonly shown: string | null;
  /** The network address that asks. */
  readonly address: string;
}

/**
 * Lets a device into a race by its join code. After ten wrong codes within a minute an address has to wait, whether its next
 * code would be right or not: else guessing would go on.
 */
export async function join(hub: Hub, request: JoinRequest): Promise<Attempt<Joined, Fault>> {
  const now = hub.now();
  const address = addressGroup(request.address);
  // Guesses beyond the tenth cost the hub a read, not a write.
  const waiting = tooMany(await recentTries(hub, address, now), now);
  if (waiting) return waiting;
  await forgetOldTries(hub);
  const codeHash = sha256(plainCode(request.message.code));
  const outcome = await hub.adapter.write<Attempt<Joined & { readonly isNew: boolean }, Fault | Crowded>>(
    async (tx) => {
      const tries = await lockTries(tx, address, now);
      const tooLate = tooMany(tries, now);
      if (tooLate) return tooLate;
      const found = await tx
        .selectFrom('codes')
        .innerJoin('races', 'races.race_no', 'codes.race_no')
        .select(['codes.role', 'codes.race_no', 'races.setup', 'races.revision'])
        .where('codes.code_hash', '=', codeHash)
        .executeTakeFirst();
      if (!found) {
        const times = JSON.stringify([...tries, now]);
        await tx.updateTable('wrong_joins').set({ times, latest: now }).where('address', '=', address).execute();
        return fault('unknown-code', 'No race has this join code. Ask the lead for the code that is valid now.');
      }
      const setup = JSON.parse(jsonWithPlainNames(found.setup)) as Race;
      if (codeHasRunOut(setup.date, hub.codesDays, now))
        return fault('unknown-code', 'This join code has run out. Ask the lead.');
      const letIn = { raceNo: found.race_no, role: found.role, codeHash };
      const token = await tokenFor(hub, tx, letIn, request, now);
      if (!token.ok) return token;
      return succeeded({ ...token.value, role: found.role, race: { ...setup, revision: found.revision } });
    },
  );
  if (!outcome.ok) {
    const { error } = outcome;
    return error.type === 'crowded' ? hub.heldUp.refuse(error.raceNo, null, error.met, now) : failed(error);
  }
  const { isNew, ...joined } = outcome.value;
  if (isNew) hub.limits.joined(codeHash, now);
  return succeeded(joined);
}

/** Where a code lets in. */
interface LetIn {
  readonly raceNo: number;
  readonly role: JoinRole;
  readonly codeHash: string;
}

/** More devices than any race needs. */
interface Crowded {
  readonly type: 'crowded';
  readonly raceNo: number;
  readonly met: Met;
}

/** One home network has the 2^64 addresses of its IPv6 prefix. */
function addressGroup(address: string): string {
  const v4 = /^(?:::ffff:)?(\d+\.\d+\.\d+\.\d+)$/i.exec(address);
  if (v4?.[1]) return v4[1];
  const [head = '', tail] = address.split('::');
  const groups = head.split(':').filter(Boolean);
  if (tail !== undefined) {
    const after = tail.split(':').filter(Boolean);
    while (groups.length + after.length < 8) groups.push('0');
    groups.push(...after);
  }
  return groups.slice(0, 4).join(':');
}

function tooMany(tries: readonly number[], now: number): { ok: false; error: Fault } | null {
  const [oldest] = tries;
  if (oldest === undefined || tries.length < MOST_WRONG_CODES) return null;
  const retryAfterS = Math.max(1, Math.ceil((oldest + WRONG_CODES_WINDOW_MS - now) / 1000));
  const message = `Too many wrong join codes from this network address: try again in ${retryAfterS} seconds.`;
  return { ok: false, error: { type: 'too-many-tries', message, retryAfterS } };
}

/** When this address gave wrong codes within the last minute, oldest first. */
async function recentTries(hub: Hub, address: string, now: number): Promise<number[]> {
  const row = await hub.db.selectFrom('wrong_joins').select('times').where('address', '=', address).executeTakeFirst();
  return row ? stillCounted(row.times, now) : [];
}

function stillCounted(times: string, now: number): number[] {
  return (JSON.parse(times) as number[]).filter((at) => at > now - WRONG_CODES_WINDOW_MS);
}

/**
 * The same, and its row stays locked until the transaction ends, so that guesses made at once are counted one after the other, in several hub processes too.
 */
async function lockTries(tx: Transaction<HubTables>, address: string, now: number): Promise<number[]> {
  const row = await tx
    .insertInto('wrong_joins')
    .values({ address, times: '[]', latest: now })
    .onConflict((conflict) => conflict.column('address').doUpdateSet({ address }))
    .returning('times')
    .executeTakeFirstOrThrow();
  return stillCounted(row.times, now);
}

/** Forgets addresses that have given no wrong code for a minute. */
async function forgetOldTries(hub: Hub): Promise<void> {
  const from = hub.now() - WRONG_CODES_WINDOW_MS;
  await hub.db.deleteFrom('wrong_joins').where('latest', '<=', from).execute();
}

/** The token under which the device goes on: its own if it has one, else a new one. */
async function tokenFor(
  hub: Hub,
  tx: Transaction<HubTables>,
  { raceNo, role, codeHash }: LetIn,
  { message, shown }: JoinRequest,
  now: number,
): Promise<Attempt<{ readonly token: string; readonly isNew: boolean }, Fault | Crowded>> {
  // One device that asks twice at once is answered one after the other.
  await lockRaceLog(hub.adapter, tx, raceNo);
  if (shown) await forgetOtherName(tx, raceNo, message.device, sha256(shown));
  const known = await tx
    .selectFrom('tokens')
    .select('token_hash')
    .where('race_no', '=', raceNo)
    .where('device', '=', message.device)
    .executeTakeFirst();
  if (known) {
    const own = [shown, message.token].find((secret) => secret && sha256(secret) === known.token_hash);
    if (!own) {
      return fault(
        'device-known',
        'This device joined before and has to show the token it got. If it has lost it, the lead can revoke it.',
      );
    }
    await tx
      .updateTable('tokens')
      .set({ role, code_hash: codeHash })
      .where('token_hash', '=', known.token_hash)
      .execute();
    return succeeded({ token: own, isNew: false });
  }
  const met = await crowdMet(hub, tx, { raceNo, role, codeHash }, now);
  if (met) return failed({ type: 'crowded', raceNo, met });
  const token = message.token ?? randomBytes(16).toString('base64url');
  const taken = await tx
    .insertInto('tokens')
    .values({
      token_hash: sha256(token),
      key: randomBytes(8).toString('hex'),
      race_no: raceNo,
      device: message.device,
      role,
      joined_at: now,
      code_hash: codeHash,
    })
    .onConflict((conflict) => conflict.column('token_hash').doNothing())
    .returning('key')
    .executeTakeFirst();
  if (!taken) return fault('malformed', 'token: this token is in use: make a new one.');
  await tx
    .insertInto('devices')
    .values({
      race_no: raceNo,
      device: message.device,
      observer: null,
      records: 0,
      last_seq: 0,
      offset_ms: null,
      last_contact: now,
    })
    .onConflict((conflict) => conflict.columns(['race_no', 'device']).doUpdateSet({ last_contact: now }))
    .execute();
  return succeeded({ token, isNew: true });
}

/** When to try again after a race had too many devices. */
const CROWDED_FOR_S = 60;

/** What keeps a new device out because too many have come, if the organiser has not lifted it. */
async function crowdMet(
  hub: Hub,
  tx: Transaction<HubTables>,
  { raceNo, role, codeHash }: LetIn,
  now: number,
): Promise<Met | null> {
  const waitS = hub.limits.joinWaitS(codeHash, now);
  let met: Met | null = waitS > 0 ? { limit: 'code-joins', waitS } : null;
  if (role === 'observer' && !met) {
    const { devices } = await tx
      .selectFrom('tokens')
      .select((select) => select.fn.countAll<number>().as('devices'))
      .where('race_no', '=', raceNo)
      .executeTakeFirstOrThrow();
    if (Number(devices) >= LIMITS_OF_A_RACE.devices) met = { limit: 'race-devices', waitS: CROWDED_FOR_S };
  }
  return met && !(await liftedLimits(tx, raceNo)).has(WHOLE_RACE) ? met : null;
}

/**
 * A tablet learns only by joining which race a code is for. If its records of that race carry another name, it joins again
 * under that one and shows the token it has just got: the first name, with which it has made nothing, is then forgotten.
 */
async function forgetOtherName(
  tx: Transaction<HubTables>,
  raceNo: number,
  device: string,
  tokenHash: string,
): Promise<void> {
  const shown = await tx
    .selectFrom('tokens')
    .innerJoin('devices', (on) =>
      on.onRef('devices.race_no', '=', 'tokens.race_no').onRef('devices.device', '=', 'tokens.device'),
    )
    .select(['tokens.device', 'devices.last_seq'])
    .where('tokens.race_no', '=', raceNo)
    .where('tokens.token_hash', '=', tokenHash)
    .executeTakeFirst();
  if (!shown || shown.device === device || shown.last_seq > 0) return;
  for (const table of ['devices', 'tokens'] as const) {
    await tx.deleteFrom(table).where('race_no', '=', raceNo).where('device', '=', shown.device).execute();
  }
}
