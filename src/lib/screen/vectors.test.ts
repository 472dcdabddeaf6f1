import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { base45Bytes } from './base45.ts';
import { BlockSums } from './block-sums.ts';
import { confirmationCode } from './confirmation-code.ts';
import { FrameCollector } from './frame-collector.ts';
import { frameText } from './frame.ts';
import { unpackTools } from '../ui/screen/receive/unpack-tools.ts';
import { plainUnpackTools } from './plain-unpack-tools.ts';
import { unpackPayload } from './unpack-payload.ts';

// tests/reference/screen/vectors.json: made with another implementation, and read back by a third (check_vectors.py beside it).
interface Vector {
  readonly name: string;
  readonly file: string;
  readonly payload: string;
  readonly session: number;
  readonly blockSize: number;
  readonly blocks: number;
  readonly frames: readonly { readonly n: number; readonly hex: string; readonly text: string }[];
  readonly enough: readonly number[];
  readonly confirmation: string;
  readonly sha256: string;
}
const vectors = JSON.parse(
  readFileSync(new URL('../../../tests/reference/screen/vectors.json', import.meta.url), 'utf8'),
) as Vector[];

const hexOf = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');

test.each(vectors)('$name: the frames give the payload, the payload the file', async (vector) => {
  const textOf = new Map(vector.frames.map(({ n, text }) => [n, text]));
  const collector = new FrameCollector();
  const heard = vector.enough.map((n) => collector.take(textOf.get(n)!));
  expect(collector.needed).toBe(vector.blocks);
  expect(heard.at(-1)).toBe('whole');
  expect(hexOf(collector.payload!)).toBe(vector.payload);

  const unpacked = await unpackPayload(collector.payload!, plainUnpackTools);
  expect(await unpackPayload(collector.payload!, await unpackTools())).toEqual(unpacked);
  if (!unpacked.ok) throw new Error(unpacked.error.type);
  expect(new TextDecoder().decode(unpacked.value.file)).toBe(vector.file);
  expect(hexOf(unpacked.value.digest)).toBe(vector.sha256);
  expect(confirmationCode(unpacked.value.digest)).toBe(vector.confirmation);
});

test.each(vectors)('$name: each frame is written as the vector has it', ({ payload, session, blockSize, frames }) => {
  const bytes = Buffer.from(payload, 'hex');
  const sums = new BlockSums(bytes, blockSize, session);
  for (const { n, hex, text } of frames) {
    expect(frameText({ session, payloadBytes: bytes.length, n, block: sums.sum(n) })).toBe(text);
    expect(hexOf(base45Bytes(text)!)).toBe(hex);
  }
});
