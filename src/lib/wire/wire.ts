import * as v from 'valibot';
import { raceSchema, resultRowSchema, startListRowSchema } from '../race/race.ts';
import { recordSchema } from '../records/record.ts';
import { deviceSchema, instantSchema } from '../records/record-fields.ts';

// Every message that tablets and hub exchange under /api/v1. Messages may carry fields that are not named here: the other
// side passes over them. Records, races and rows may not.

/** The hub's clock, milliseconds since 1970, stands in this header of every answer: tablets learn from it how far theirs is off. */
export const HUB_CLOCK_HEADER = 'kerbside-clock';

/** Records one push may carry. */
export const MAX_PUSH_RECORDS = 1000;
/** Bytes of a request's body; start lists and results may be larger. */
export const MAX_BODY_BYTES = 2 * 1024 * 1024;
export const MAX_LIST_BYTES = 16 * 1024 * 1024;
/** Records one pull brings unless `limit` asks otherwise, and at most. */
export const DEFAULT_PULL_RECORDS = 1000;
export const MAX_PULL_RECORDS = 10_000;

/** The roles a join code can give. */
export const JOIN_ROLES = ['observer', 'analyst'] as const;
export type JoinRole = (typeof JOIN_ROLES)[number];

/** `GET /health` */
export const healthSchema = v.object({
  status: v.literal('ok'),
  store: v.picklist(['sqlite', 'postgres']),
  version: v.string(),
  /** There and false while the hub can only be read from, such as with a full disk. */
  storing: v.optional(v.boolean()),
});
export type Health = v.InferOutput<typeof healthSchema>;

/** Join codes as people read them, in groups; case, blanks and hyphens do not matter when they are typed. */
export const codesSchema = v.object({ observer: v.string(), analyst: v.string() });
export type JoinCodes = v.InferOutput<typeof codesSchema>;

/** `POST /races` takes a race and answers with it, its revision set, and its join codes: 201, or 200 when it was there. */
export const openedRaceSchema = v.object({ race: raceSchema, codes: codesSchema });
export type OpenedRace = v.InferOutput<typeof openedRaceSchema>;

/** `GET /races`, for the organiser: what this hub holds. */
export const raceListSchema = v.object({
  races: v.array(v.object({ id: v.string(), name: v.string(), date: v.string(), revision: v.number() })),
});
export type RaceList = v.InferOutput<typeof raceListSchema>;

/** What counts records or changes goes no further: a device that says more is at fault, and one more could not be counted. */
export const MOST_COUNTED = 1_000_000_000;
const revisionSchema = v.pipe(v.number(), v.safeInteger(), v.minValue(0), v.maxValue(MOST_COUNTED));

/** The first bib that stands in two rows. */
function bibThatIsTwice(rows: readonly { readonly bib: string }[]): string | undefined {
  const seen = new Set<string>();
  return rows.find(({ bib }) => seen.size === seen.add(bib).size)?.bib;
}
const oneRowABib = v.check<{ readonly bib: string }[], (issue: v.CheckIssue<{ readonly bib: string }[]>) => string>(
  (rows) => bibThatIsTwice(rows) === undefined,
  ({ input }) => `bib ${bibThatIsTwice(input)} is there twice`,
);

/**
 * `PUT` and `GET /races/ID/startlist`. The first `PUT` has revision 0, later ones the revision they read. An observer gets
 * rows that carry the bib alone.
 */
export const startListSchema = v.object({
  revision: revisionSchema,
  rows: v.pipe(v.array(startListRowSchema), v.maxLength(200_000), oneRowABib),
});
export type StartListMessage = v.InferOutput<typeof startListSchema>;
/** `PUT` and `GET /races/ID/results`, as for the start list. */
export const resultsSchema = v.object({
  revision: revisionSchema,
  rows: v.pipe(v.array(resultRowSchema), v.maxLength(200_000), oneRowABib),
});
export type ResultsMessage = v.InferOutput<typeof resultsSchema>;
/** The answer to a `PUT` of start list or results: the revision that stands now. */
export const listSavedSchema = v.object({ revision: revisionSchema });
export type ListSaved = v.InferOutput<typeof listSavedSchema>;

/** `GET /races/ID/devices`: who has handed in what. */
export const deviceStateSchema = v.object({
  device: v.string(),
  /** The observer of its latest record; null while there is none. */
  observer: v.nullable(v.string()),
  /** How many of its records the hub holds. */
  records: v.number(),
  /** The greatest `seq` that the device has said or the hub has seen: `lastSeq - records` are missing. */
  lastSeq: v.number(),
  /** Hub clock minus device clock in milliseconds, at its last push that said `sentAt`. */
  offsetMs: v.nullable(v.number()),
  /** When the device itself last spoke to the hub (RFC 3339); null when its records came only by file. */
  lastContact: v.nullable(v.string()),
});
/** An observer code under which a device has made records. */
const codeInUseSchema = v.object({
  observer: v.string(),
  device: v.string(),
  /** When the device joined (RFC 3339); null when its records came only by file. Earlier hubs do not say. */
  since: v.optional(v.nullable(v.string())),
  /** When the device last spoke to the hub (RFC 3339); null when its records came only by file. */
  lastContact: v.nullable(v.string()),
});
export const codesInUseSchema = v.array(codeInUseSchema);
export type CodeInUse = v.InferOutput<typeof codeInUseSchema>;
export const devicesSchema = v.array(deviceStateSchema);
export type DeviceState = v.InferOutput<typeof deviceStateSchema>;

/** What observers may meet: what a device, all who joined with one code, or the race brings too fast, or too much in all. */
export const LIMIT_NAMES = [
  'device-rate',
  'device-records',
  'code-rate',
  'race-rate',
  'race-records',
  'code-joins',
  'race-devices',
] as const;
export type LimitName = (typeof LIMIT_NAMES)[number];

/**
 * `GET /races/ID/limits`, for the organiser: who was held up within the last day, the latest first. `POST` lifts a device's
 * limits, or with null those of all observers together, and answers likewise.
 */
export const heldUpSchema = v.object({
  limit: v.picklist(LIMIT_NAMES),
  /** Null when it is all observers together. */
  device: v.nullable(v.string()),
  observer: v.nullable(v.string()),
  since: v.string(),
  latest: v.string(),
  /** Calls refused since then. */
  refused: v.number(),
  /** Records that the hub holds of the device, or of the race. */
  records: v.number(),
  devices: v.number(),
  /** Of all observers together: since when devices have joined without a pause. */
  joinedSince: v.nullable(v.string()),
});
export type HeldUp = v.InferOutput<typeof heldUpSchema>;
export const limitsSchema = v.array(heldUpSchema);
export const liftSchema = v.object({ device: v.nullable(deviceSchema) });

/** `DELETE /races/ID` erases everything of the race whose name is typed. */
export const eraseSchema = v.object({ name: v.string() });

/** 128 bits or more, base64url. */
export const tokenSchema = v.pipe(
  v.string(),
  v.regex(/^[A-Za-z0-9_-]{22,64}$/, 'expected 22 to 64 base64url characters'),
);

/**
 * `POST /join`. A device that made 16 random bytes itself may send them as `token` (base64url): when the answer is lost on
 * the way, the same message sent again is then answered as the first was. Without it the hub makes the token, and a device
 * that joined before has to show the one it has in `Authorization`. One that shows the token of another `device` of this
 * race, with which nothing was made, is the same tablet under another name: the other is forgotten.
 */
export const joinSchema = v.object({
  code: v.pipe(v.string(), v.maxLength(64)),
  device: deviceSchema,
  token: v.optional(tokenSchema),
});
export type JoinMessage = v.InferOutput<typeof joinSchema>;
export const joinedSchema = v.object({ token: v.string(), role: v.picklist(JOIN_ROLES), race: raceSchema });
export type Joined = v.InferOutput<typeof joinedSchema>;

/** `POST /races/ID/records`. Each record is judged by itself, so they are not looked into here. */
export const pushSchema = v.object({
  records: v.pipe(
    v.array(v.unknown()),
    v.minLength(1, 'expected at least 1 record'),
    v.maxLength(MAX_PUSH_RECORDS, `expected at most ${MAX_PUSH_RECORDS} records`),
  ),
  /** The greatest `seq` this device has given in this race, handed in or not. */
  lastSeq: v.optional(revisionSchema),
  /** The device's clock as it sends. */
  sentAt: v.optional(instantSchema),
});
export type PushMessage = v.InferOutput<typeof pushSchema>;

/** What the hub says of a record that it does not take. `malformed` goes on with a colon and what is wrong. */
export const REJECTIONS = [
  'malformed',
  'unknown checkpoint',
  'wrong race',
  'wrong device',
  'wrong role',
  'conflict',
] as const;
export type Rejection = (typeof REJECTIONS)[number];
export const rejectedSchema = v.object({
  /** The record's id as it was sent, shortened if need be; empty when it had none. */
  id: v.string(),
  reason: v.string(),
});
export type Rejected = v.InferOutput<typeof rejectedSchema>;
export const pushedSchema = v.object({
  accepted: v.number(),
  known: v.number(),
  rejected: v.array(rejectedSchema),
  /** The end of the race's log after this push. It is no place to pull from: others' records may lie before it. */
  cursor: v.string(),
});
export type Pushed = v.InferOutput<typeof pushedSchema>;

/**
 * `GET /races/ID/records?after=CURSOR&limit=N`. A page may be empty while `more` is true (an observer's, between others'
 * records): go on from `cursor`.
 */
export const pulledSchema = v.object({ records: v.array(recordSchema), cursor: v.string(), more: v.boolean() });
export type Pulled = v.InferOutput<typeof pulledSchema>;

/**
 * `GET /races/ID/stream`: server-sent events. `event: records` says how far the log goes, once at the start and within a
 * second of new records that this role may see; `event: setup` says that set-up, start list or results have changed.
 * Lines that begin with a colon keep the connection open.
 */
export const streamRecordsSchema = v.object({ cursor: v.string() });
export const streamSetupSchema = v.object({
  what: v.picklist(['race', 'startlist', 'results']),
  revision: v.number(),
});

/** `GET /races/ID/codes` and, to renew those named, `POST /races/ID/codes`; both for the organiser, both answer `JoinCodes`. */
export const renewCodesSchema = v.object({ renew: v.pipe(v.array(v.picklist(JOIN_ROLES)), v.minLength(1)) });

/**
 * `GET /races/ID/tokens`, for the organiser. `DELETE /races/ID/tokens/KEY` revokes one; its device may then join anew.
 * `DELETE /races/ID/tokens` revokes those of all observers' devices that joined at an instant or later.
 */
export const tokenStateSchema = v.object({
  /** Names the token without being it. */
  key: v.string(),
  device: v.string(),
  role: v.picklist(JOIN_ROLES),
  joinedAt: v.string(),
});
export const shutOutSchema = v.object({ joinedSince: instantSchema });
export const shutOutDoneSchema = v.object({ devices: v.number() });
export const tokensSchema = v.array(tokenStateSchema);
export type TokenState = v.InferOutput<typeof tokenStateSchema>;

/**
 * `GET /races/ID/refused?after=NO`, for the organiser: records that were kept apart because of `wrong device`, `wrong role`
 * or `conflict`, oldest first, up to 1,000 at a time.
 */
export const refusedRecordSchema = v.object({
  no: v.number(),
  reason: v.string(),
  /** The record that was refused. */
  record: recordSchema,
  /** The record with the same id that stands, if there is one. */
  stands: v.nullable(recordSchema),
  /** The device whose token brought it; null for the organiser key. */
  broughtBy: v.nullable(v.string()),
  at: v.string(),
});
export const refusedSchema = v.object({ records: v.array(refusedRecordSchema), more: v.boolean() });
export type RefusedRecord = v.InferOutput<typeof refusedRecordSchema>;

/**
 * `GET /addresses`, for any role: where tablets can reach this hub, best first. `secure` ones (https) give the tablet a
 * service worker once it trusts the authority at `authority`.
 */
export const addressesSchema = v.object({
  addresses: v.array(v.object({ url: v.string(), secure: v.boolean(), local: v.boolean() })),
  /** Path of the certificate to be trusted on the tablets; null when the hub has none of its own. */
  authority: v.nullable(v.string()),
});
export type HubAddresses = v.InferOutput<typeof addressesSchema>;
