import { sha256 } from '@noble/hashes/sha2.js';
import { deflateSync, Inflate } from 'fflate';
import { failed, succeeded, type Outcome } from '../records/outcome.ts';
import type { TallyRecord } from '../records/record.ts';
import { encodeUtf8 } from '../records/utf8.ts';
import { ByteReader } from '../records/byte-reader.ts';
import { ByteWriter } from '../records/byte-writer.ts';
import { packRecords } from '../records/pack-records.ts';
import { unpackRecords } from '../records/unpack-records.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

/** The hand-off file as text, or as columns. */
const METHOD = { text: 0, columns: 1 } as const;
const DIGEST_BYTES = 32;
const BODY_AT = 1 + DIGEST_BYTES;
/** DEFLATE makes at most 1,032 bytes of one: what comes of a piece of this size is never much. */
const INFLATED_AT_ONCE = 1024;

/** A hand-off file as it travels over the screen. */
export interface Payload {
  readonly bytes: Uint8Array;
  /** SHA-256 of the file, 32 bytes. */
  readonly digest: Uint8Array;
}

/** The file goes beyond what a screen may hand off, or the payload is none that gives a file back. */
export interface PayloadFailure {
  readonly type: 'too-large' | 'damaged';
}

/**
 * Packs a hand-off file: as columns when unpacking them gives the file back to the byte, else as text.
 *
 * @param file the whole file's text as this house writes it
 */
export function packPayload(file: string): Outcome<Payload, PayloadFailure> {
  if (file.length > SCREEN_LIMITS.unpackedBytes) return failed({ type: 'too-large' });
  const fileBytes = utf8(file);
  // The first line is the race, and the last ends with a line end.
  const [firstLine = '', ...lines] = file.slice(0, -1).split('\n');
  if (fileBytes.length > SCREEN_LIMITS.unpackedBytes || lines.length > SCREEN_LIMITS.records) {
    return failed({ type: 'too-large' });
  }
  const digest = sha256(fileBytes);
  const body = columnsBody(file, firstLine, lines);
  const writer = new ByteWriter();
  writer.byte(body ? METHOD.columns : METHOD.text);
  writer.raw(digest);
  writer.raw(body ?? textBody(fileBytes));
  const bytes = writer.bytes;
  return bytes.length > SCREEN_LIMITS.payloadBytes ? failed({ type: 'too-large' }) : succeeded({ bytes, digest });
}

function textBody(file: Uint8Array): Uint8Array {
  const body = new ByteWriter();
  body.uint(file.length);
  body.raw(deflated(file));
  return body.bytes;
}

/** `null` when columns do not give this file back. */
function columnsBody(file: string, firstLine: string, lines: readonly string[]): Uint8Array | null {
  const packed = packRecords(
    firstLine,
    lines.map((line) => JSON.parse(line) as TallyRecord),
  );
  if (!packed || packed.columns.length > SCREEN_LIMITS.unpackedBytes) return null;
  if (unpackRecords(packed, UNPACK_LIMITS) !== file) return null;
  const body = new ByteWriter();
  body.uint(packed.columns.length);
  body.block(deflated(packed.columns));
  body.raw(packed.idBits);
  return body.bytes;
}

const UNPACK_LIMITS = { records: SCREEN_LIMITS.records, characters: SCREEN_LIMITS.unpackedBytes };
const deflated = (bytes: Uint8Array) => deflateSync(bytes, { level: 9 });

function utf8(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length * 3);
  return bytes.subarray(0, encodeUtf8(text, bytes));
}

/** The hand-off file of a payload as bytes, its SHA-256 compared. Stops where a payload unpacks to more than may be. */
export function unpackPayload(payload: Uint8Array): Outcome<{ readonly file: Uint8Array } & Payload, PayloadFailure> {
  const body = new ByteReader(payload.subarray(Math.min(BODY_AT, payload.length)));
  const digest = payload.subarray(1, BODY_AT);
  const file =
    payload[0] === METHOD.text ? fileOfText(body) : payload[0] === METHOD.columns ? fileOfColumns(body) : null;
  if (!file || file.length > SCREEN_LIMITS.unpackedBytes) return failed({ type: 'damaged' });
  if (!sameBytes(sha256(file), digest)) return failed({ type: 'damaged' });
  return succeeded({ file, bytes: payload, digest });
}

function fileOfText(body: ByteReader): Uint8Array | null {
  const length = body.uint();
  return body.broken ? null : inflated(body.raw(body.left), length);
}

function fileOfColumns(body: ByteReader): Uint8Array | null {
  const length = body.uint();
  const packed = body.block();
  const idBits = body.raw(body.left);
  const columns = body.broken ? null : inflated(packed, length);
  if (!columns) return null;
  const text = unpackRecords({ columns, idBits }, UNPACK_LIMITS);
  return text === null ? null : utf8(text);
}

/** Exactly `length` bytes out of raw DEFLATE, or `null`: also when it is broken, ends early or goes on. */
function inflated(bytes: Uint8Array, length: number): Uint8Array | null {
  if (length > SCREEN_LIMITS.unpackedBytes) return null;
  const whole = new Uint8Array(length);
  let at = 0;
  let ended = false;
  const inflate = new Inflate((piece, last) => {
    if (at + piece.length <= length) whole.set(piece, at);
    at += piece.length;
    ended = last;
  });
  try {
    for (let from = 0; from < bytes.length && at <= length; from += INFLATED_AT_ONCE) {
      const to = from + INFLATED_AT_ONCE;
      inflate.push(bytes.subarray(from, to), to >= bytes.length);
    }
  } catch {
    return null;
  }
  return ended && at === length ? whole : null;
}

function sameBytes(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}
