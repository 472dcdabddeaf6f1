import type { Generated, Selectable } from 'kysely';
import type { JoinRole, LimitName } from '../../wire/wire.ts';

/** The hub's tables. Instants are milliseconds since 1970. `migrations.ts` makes them. */
export interface HubTables {
  races: RaceTable;
  race_logs: RaceLogTable;
  records: RecordTable;
  early_targets: EarlyTargetTable;
  refused: RefusedTable;
  lists: ListTable;
  codes: CodeTable;
  tokens: TokenTable;
  devices: DeviceTable;
  wrong_joins: WrongJoinTable;
  lifted: LiftedTable;
  held_up: HeldUpTable;
}

export interface RaceTable {
  /** The race's number in this store: shorter than its id where a million rows repeat it. */
  race_no: Generated<number>;
  id: string;
  /** The set-up without its revision (JSON). */
  setup: string;
  revision: number;
}

/** The row of a race that every push locks, so that records of one race are committed in the order of `arrival`. */
export interface RaceLogTable {
  race_no: number;
  /** Random: tells a cursor of this log from one of an erased race with the same id. */
  log: string;
  last_arrival: number;
  /** Ids of the set-up's checkpoints (JSON array). */
  checkpoints: string;
  /** Ids of the checkpoints that records name (JSON array). */
  used: string;
  /** How many rows `early_targets` has for the race. */
  early: number;
}

/** Records as they came, in the order they came. Nothing but an erased race takes a row away. */
export interface RecordTable {
  race_no: number;
  arrival: number;
  id: string;
  /** The number that `KINDS` gives the record's kind. */
  kind: number;
  device: string;
  /** For a correction or withdrawal, the device whose record it is in the end about, if the hub knows it; else null. */
  owner: string | null;
  /** The record in its canonical form (JSON). */
  body: string;
}

/** Corrections and withdrawals that came before the record they are about. */
export interface EarlyTargetTable {
  race_no: number;
  target: string;
  arrival: number;
}

export interface RefusedTable {
  no: Generated<number>;
  race_no: number;
  record_id: string;
  /** SHA-256 of the body: the same refused record is kept once. */
  body_hash: string;
  reason: string;
  body: string;
  brought_by: string | null;
  at: number;
}

export interface ListTable {
  race_no: number;
  what: 'startlist' | 'results';
  revision: number;
  /** The list's rows (JSON array). */
  rows: string;
  /** The same rows with nothing but their bibs. */
  bibs: string;
}

export interface CodeTable {
  race_no: number;
  role: JoinRole;
  /** In clear, since the lead has to be able to show it again. */
  code: string;
  code_hash: string;
}

export interface TokenTable {
  token_hash: string;
  /** Names the token in lists. */
  key: string;
  race_no: number;
  device: string;
  role: JoinRole;
  joined_at: number;
  /** The join code that its device last showed; null when that was before codes were noted. */
  code_hash: string | null;
}

export interface DeviceTable {
  race_no: number;
  device: string;
  observer: string | null;
  records: number;
  last_seq: number;
  offset_ms: number | null;
  last_contact: number | null;
}

/** One row for each network address that gave wrong join codes within the last minute. */
export interface WrongJoinTable {
  address: string;
  /** When the last ten were given (JSON array of instants, oldest first). */
  times: string;
  latest: number;
}

/** The devices whose limit the organiser has lifted; the empty name stands for the race. */
export interface LiftedTable {
  race_no: number;
  device: string;
}

/** Who met a limit, one row for each limit and device; the empty name stands for the race. */
export interface HeldUpTable {
  race_no: number;
  device: string;
  limit_name: LimitName;
  since: number;
  latest: number;
  /** How many calls were refused since then, but for the last seconds. */
  refused: number;
}

export type RaceRow = Selectable<RaceTable>;
export type RaceLogRow = Selectable<RaceLogTable>;
