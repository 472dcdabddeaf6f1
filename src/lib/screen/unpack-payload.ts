import { ByteReader } from '../records/packing/byte-reader.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { unpackRecords } from '../records/packing/unpack-records.ts';
import {
  PAYLOAD_BODY_AT,
  PAYLOAD_METHOD,
  UNPACK_LIMITS,
  utf8Bytes,
  type Payload,
  type PayloadFailure,
} from './payload.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

/** What unpacking needs, and browsers bring where they can. */
export interface UnpackTools {
  readonly sha256: (bytes: Uint8Array<ArrayBuffer>) => Promise<Uint8Array>;
  /**
   * Exactly `length` bytes out of raw DEFLATE, or `null`: also when it is broken, ends early or goes on. Never makes much
   * more than `length` bytes, whatever comes.
   */
  readonly inflate: (bytes: Uint8Array, length: number) => Promise<Uint8Array<ArrayBuffer> | null>;
}

/** The hand-off file of a payload, its SHA-256 compared. Stops where a payload unpacks to more than may be. */
export async function unpackPayload(
  payload: Uint8Array,
  { sha256, inflate }: UnpackTools,
): Promise<Attempt<{ readonly file: Uint8Array } & Payload, PayloadFailure>> {
  const body = new ByteReader(payload.slice(PAYLOAD_BODY_AT));
  const digest = payload.slice(1, PAYLOAD_BODY_AT);
  const limited: UnpackTools['inflate'] = async (bytes, length) =>
    length > SCREEN_LIMITS.unpackedBytes ? null : inflate(bytes, length);
  const file =
    payload[0] === PAYLOAD_METHOD.text
      ? await fileOfText(body, limited)
      : payload[0] === PAYLOAD_METHOD.columns
        ? await fileOfColumns(body, limited)
        : null;
  if (!file || file.length > SCREEN_LIMITS.unpackedBytes) return failed({ type: 'damaged' });
  if (!sameBytes(await sha256(file), digest)) return failed({ type: 'damaged' });
  return succeeded({ file, bytes: payload, digest });
}

async function fileOfText(body: ByteReader, inflate: UnpackTools['inflate']): Promise<Uint8Array<ArrayBuffer> | null> {
  const length = body.uint();
  return body.broken ? null : inflate(body.raw(body.left), length);
}

async function fileOfColumns(
  body: ByteReader,
  inflate: UnpackTools['inflate'],
): Promise<Uint8Array<ArrayBuffer> | null> {
  const length = body.uint();
  const packed = body.block();
  const idBits = body.raw(body.left);
  const columns = body.broken ? null : await inflate(packed, length);
  if (!columns) return null;
  const text = unpackRecords({ columns, idBits }, UNPACK_LIMITS);
  return text === null ? null : utf8Bytes(text);
}

function sameBytes(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}
