import { deflateRawSync } from 'node:zlib';
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { recordSet, RACE_ID } from '../../../tests/helpers/records/record-arbitraries.ts';
import { makeRecords } from '../../../tests/reference/screen/make-records.mjs';
import type { Race } from '../race/race.ts';
import type { TallyRecord } from '../records/record.ts';
import { ByteWriter } from '../records/packing/byte-writer.ts';
import { writeHandoff } from '../tables/handoff-file.ts';
import { unpackTools } from '../ui/screen/receive/unpack-tools.ts';
import { packPayload } from './pack-payload.ts';
import { plainUnpackTools } from './plain-unpack-tools.ts';
import { unpackPayload } from './unpack-payload.ts';
import { SCREEN_LIMITS } from './screen-limits.ts';

const race: Race = { id: RACE_ID, name: 'Alder Ten (invented)', date: '2026-10-04', checkpoints: [] };

const fileOf = (records: readonly TallyRecord[]) => [...writeHandoff(race, records)].join('');

function recordsIn(file: string): TallyRecord[] {
  return file
    .split('\n')
    .slice(1, -1)
    .map((line) => JSON.parse(line) as TallyRecord);
}

function packed(file: string): Uint8Array {
  const outcome = packPayload(file);
  if (!outcome.ok) throw new Error(outcome.error.type);
  return outcome.value.bytes;
}

/** The file as text, or why there is none. */
async function unpacked(payload: Uint8Array, tools = plainUnpackTools): Promise<string> {
  const outcome = await unpackPayload(payload, tools);
  if (!outcome.ok) return outcome.error.type;
  return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(outcome.value.file);
}

test('gives any hand-off file back to the byte', async () => {
  await fc.assert(
    fc.asyncProperty(recordSet, async (records) => {
      const file = fileOf(records);
      expect(await unpacked(packed(file))).toBe(file);
    }),
  );
});

test.each([1200, 5000, 20_000])('packs %d records of the invented race in at most 17 bytes each', async (count) => {
  const file: string = makeRecords(count);
  const payload = packed(file);
  expect(payload[0]).toBe(1);
  expect(payload.length / count).toBeLessThanOrEqual(17);
  expect(await unpacked(payload)).toBe(file);
});

test('a file with a field or a kind that columns do not know travels as text', async () => {
  const file: string = makeRecords(3);
  const [first] = recordsIn(file);
  for (const strange of [
    { ...first, shoe: 'blue' },
    { ...first, kind: 'mark' },
    { ...first, left: 'toe' },
  ]) {
    const strangeFile = `${file.split('\n')[0]}\n${JSON.stringify(strange)}\n`;
    const payload = packed(strangeFile);
    expect(payload[0]).toBe(0);
    expect(await unpacked(payload)).toBe(strangeFile);
  }
});

test('a note with an unpaired surrogate, which UTF-8 cannot write, travels as text', async () => {
  const [first] = recordsIn(makeRecords(1));
  const file = fileOf([{ ...first!, race: RACE_ID, note: 'torn \ud83d' }]);
  const payload = packed(file);
  expect(payload[0]).toBe(0);
  expect(await unpacked(payload)).toBe(file);
});

test('20,001 records are too many to show, and to take', async () => {
  const file: string = makeRecords(20_001);
  expect(packPayload(file)).toEqual({ ok: false, error: { type: 'too-large' } });
  const claim = new ByteWriter();
  claim.text(file.slice(0, file.indexOf('\n')));
  claim.uint(20_001);
  expect(await unpacked(payloadOf(1, file, columnsBody(claim.bytes)))).toBe('damaged');
});

/** A payload put together by hand. */
function payloadOf(method: number, file: string, body: Uint8Array): Uint8Array {
  return Buffer.concat([Buffer.of(method), createHash('sha256').update(file).digest(), body]);
}

function columnsBody(columns: Uint8Array, idBits = new Uint8Array()): Uint8Array {
  const body = new ByteWriter();
  body.uint(columns.length);
  body.block(deflateRawSync(columns));
  body.raw(idBits);
  return body.bytes.slice();
}

function textBody(claimed: number, deflated: Uint8Array): Uint8Array {
  const body = new ByteWriter();
  body.uint(claimed);
  body.raw(deflated);
  return body.bytes.slice();
}

test('a payload that any byte is wrong or missing in is damaged', async () => {
  const file: string = makeRecords(12);
  for (const payload of [packed(file), payloadOf(0, file, textBody(file.length, deflateRawSync(file)))]) {
    expect(await unpacked(payload)).toBe(file);
    for (let at = 0; at < payload.length; at += 1) {
      const wrong = payload.slice();
      wrong[at]! ^= 0x10;
      // DEFLATE has bits that say nothing: what still gives the file, to its SHA-256, is the file.
      expect(['damaged', file]).toContain(await unpacked(wrong));
      expect(await unpacked(payload.slice(0, at))).toBe('damaged');
    }
  }
});

test('garbage is damaged', async () => {
  await fc.assert(
    fc.asyncProperty(fc.integer({ min: 0, max: 3 }), fc.uint8Array({ maxLength: 400 }), async (method, bytes) => {
      expect(await unpacked(Uint8Array.of(method, ...bytes))).toBe('damaged');
    }),
  );
});

test.each([
  ['the platform’s tools', unpackTools],
  ['ours', () => Promise.resolve(plainUnpackTools)],
])('with %s inflating stops where the file says it ends, and never goes beyond 16 MiB', async (_, toolsOf) => {
  const tools = await toolsOf();
  // 1 GiB of blanks would be 1 MB deflated; a hundredth of it shows the same.
  const bomb = deflateRawSync(Buffer.alloc(24 * 1024 * 1024, ' '));
  const before = process.memoryUsage().arrayBuffers;
  for (const claimed of [100, SCREEN_LIMITS.unpackedBytes, SCREEN_LIMITS.unpackedBytes + 1, 2 ** 53 - 1]) {
    expect(await unpacked(payloadOf(0, '', textBody(claimed, bomb)), tools)).toBe('damaged');
  }
  expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(80 * 1024 * 1024);
});

test('columns that say one long word over and over stop at 16 MiB', async () => {
  const columns = new ByteWriter();
  const count = 20_000;
  columns.text(makeRecords(0).trimEnd());
  columns.uint(count);
  columns.uint(1);
  columns.text('x'.repeat(1_000_000));
  columns.uint(1);
  columns.uint(0);
  columns.uint(0);
  const zeros = new Uint8Array(count);
  for (let column = 0; column < 11; column += 1) columns.block(column === 1 || column > 6 ? new Uint8Array() : zeros);
  const idBits = new Uint8Array(Math.ceil((count * 74) / 8));
  expect(await unpacked(payloadOf(1, '', columnsBody(columns.bytes, idBits)))).toBe('damaged');
});

test('columns that claim more words or sources than there are bytes end at once', async () => {
  const columns = new ByteWriter();
  columns.text(makeRecords(0).trimEnd());
  columns.uint(1);
  columns.uint(2 ** 53 - 1);
  expect(await unpacked(payloadOf(1, '', columnsBody(columns.bytes, new Uint8Array(10))))).toBe('damaged');
});
