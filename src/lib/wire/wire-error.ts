import * as v from 'valibot';

/** What can go wrong with a call, as `error.code` names it, and the HTTP status it comes with. */
export const ERROR_STATUS = {
  /** The body is no JSON, or a field is not what it must be. */
  malformed: 400,
  /** The hub did not give this cursor, or its data are no longer those for which it did. */
  'unknown-cursor': 400,
  /** The race's name was not typed as it is. */
  'wrong-name': 400,
  /** No token, or one that the hub does not know or has revoked. */
  'unknown-token': 401,
  /** No race has this join code. */
  'unknown-code': 401,
  /** The token's role may not do this. */
  'wrong-role': 403,
  /** The token belongs to another race. */
  'wrong-race': 403,
  /** The page that asks was not served by this hub. */
  'foreign-origin': 403,
  'not-found': 404,
  'wrong-method': 405,
  /** Somebody else changed it since the revision was read: read again. */
  revision: 409,
  /** Another race has this id already. */
  'race-exists': 409,
  /** A checkpoint that has records cannot be taken out of the race. */
  'checkpoint-has-records': 409,
  /** This device joined before and did not show its own token. */
  'device-known': 409,
  'too-large': 413,
  'not-json': 415,
  /** The request names a host that is not this hub: a name of it goes into `KERBSIDE_NAMES`. */
  'wrong-host': 421,
  /** More at once, or more in all, than any race needs: wait as long as `Retry-After` says, or ask the organiser. */
  'slow-down': 429,
  /** Too many wrong join codes from this address: wait as long as `Retry-After` says. */
  'too-many-tries': 429,
  /** The hub failed; nothing may be assumed stored, sending again is right. */
  internal: 500,
  /** The hub cannot store just now (such as a full disk); sending again later is right. */
  unavailable: 503,
} as const;
export type ErrorCode = keyof typeof ERROR_STATUS;
export const errorSchema = v.object({ error: v.object({ code: v.string(), message: v.string() }) });
export type WireError = v.InferOutput<typeof errorSchema>;
