import { sha256 } from '@noble/hashes/sha2.js';
import { deflateSync } from 'fflate';
import { ByteWriter } from '../records/packing/byte-writer.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { packRecords } from '../records/packing/pack-records.ts';
import type { TallyRecord } from '../records/record.ts';
import { unpackRecords } from '../records/packing/unpack-records.ts';
import { PAYLOAD_METHOD, UNPACK_LIMITS, utf8Bytes, type Payload, type PayloadFailure } from './payload.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

/**
 * Packs a hand-off file: as columns when unpacking them gives the file back to the byte, else as text.
 *
 * @param file the whole file's text as this house writes it
 */
export function packPayload(file: string): Attempt<Payload, PayloadFailure> {
  if (file.length > SCREEN_LIMITS.unpackedBytes) return failed({ type: 'too-large' });
  const fileBytes = utf8Bytes(file);
  // The first line is the race, and the last ends with a line end.
  const [firstLine = '', ...lines] = file.slice(0, -1).split('\n');
  if (fileBytes.length > SCREEN_LIMITS.unpackedBytes || lines.length > SCREEN_LIMITS.records) {
    return failed({ type: 'too-large' });
  }
  const digest = sha256(fileBytes);
  const body = columnsBody(file, firstLine, lines);
  const writer = new ByteWriter();
  writer.byte(body ? PAYLOAD_METHOD.columns : PAYLOAD_METHOD.text);
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

const deflated = (bytes: Uint8Array) => deflateSync(bytes, { level: 9 });
