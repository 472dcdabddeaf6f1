import { type Attempt, succeeded } from '../../records/attempt.ts';
import type { Role } from '../../records/roles.ts';
import { isRaceId } from '../../wire/api-paths.ts';
import { type Fault, fault } from '../fault.ts';
import { sameSecret, sha256 } from '../hash.ts';
import type { Hub } from '../hub.ts';

/** Who makes a call about one race. */
export interface Caller {
  readonly role: Role;
  /** The device whose token it is; null for the organiser key. */
  readonly device: string | null;
  readonly raceNo: number;
  readonly raceId: string;
  /** Names the token in the store; null for the organiser key. */
  readonly tokenHash: string | null;
  /** Names the join code that it last showed; null for the organiser key, and before codes were noted. */
  readonly codeHash: string | null;
}

const NO_TOKEN = 'Join the race first: this call needs the token that the hub gave, in "Authorization: Bearer …".';

/** The secret in `Authorization: Bearer …`, or null. */
export function bearer(request: Request): string | null {
  return /^Bearer ([\x21-\x7e]{1,256})$/i.exec(request.headers.get('authorization') ?? '')?.[1] ?? null;
}

/** Lets the organiser key pass, for calls that are about no race in particular. */
export function organiserOnly(hub: Hub, request: Request): Attempt<null, Fault> {
  const secret = bearer(request);
  if (secret === null)
    return fault('unknown-token', 'This call needs the organiser key, in "Authorization: Bearer …".');
  return sameSecret(secret, hub.organiserKey)
    ? succeeded(null)
    : fault('unknown-token', 'This is not the organiser key of this hub.');
}

/** Finds out who calls about the race, and lets those of the named roles pass. */
export async function identify(
  hub: Hub,
  request: Request,
  raceId: string,
  roles: readonly Role[],
): Promise<Attempt<Caller, Fault>> {
  const secret = bearer(request);
  if (secret === null) return fault('unknown-token', NO_TOKEN);
  const caller = sameSecret(secret, hub.organiserKey)
    ? await asOrganiser(hub, raceId)
    : await byToken(hub, sha256(secret), raceId);
  if (!caller.ok || roles.includes(caller.value.role)) return caller;
  return fault('wrong-role', `This call is for ${roles.join(' and ')}, not for ${caller.value.role}.`);
}

async function asOrganiser(hub: Hub, raceId: string): Promise<Attempt<Caller, Fault>> {
  const row = isRaceId(raceId)
    ? await hub.db.selectFrom('races').select('race_no').where('id', '=', raceId).executeTakeFirst()
    : undefined;
  if (!row) return fault('not-found', 'This hub has no such race.');
  return succeeded({ role: 'organiser', device: null, raceNo: row.race_no, raceId, tokenHash: null, codeHash: null });
}

async function byToken(hub: Hub, tokenHash: string, raceId: string): Promise<Attempt<Caller, Fault>> {
  const row = await hub.db
    .selectFrom('tokens')
    .innerJoin('races', 'races.race_no', 'tokens.race_no')
    .select(['tokens.role', 'tokens.device', 'tokens.race_no', 'tokens.code_hash', 'races.id'])
    .where('tokens.token_hash', '=', tokenHash)
    .executeTakeFirst();
  if (!row) return fault('unknown-token', 'The hub does not know this token, or the organiser has revoked it.');
  if (row.id !== raceId) return fault('wrong-race', 'This token belongs to another race.');
  const { role, device, race_no: raceNo, code_hash: codeHash } = row;
  return succeeded({ role, device, raceNo, raceId, tokenHash, codeHash });
}

/** Whether the token of a caller who is connected for long still stands. */
export async function stillValid(hub: Hub, caller: Caller): Promise<boolean> {
  const again =
    caller.tokenHash === null
      ? await asOrganiser(hub, caller.raceId)
      : await byToken(hub, caller.tokenHash, caller.raceId);
  return again.ok && again.value.raceNo === caller.raceNo && again.value.role === caller.role;
}
