import fc from 'fast-check';
import { expect, test } from 'vitest';
import { seededWords } from '../records/seeded-random.ts';
import { base45Bytes, base45Text } from './base45.ts';
import { BlockSums } from './block-sums.ts';
import { CodeSequence } from './code-sequence.ts';
import { crc32 } from './crc-32.ts';
import { FrameCollector } from './frame-collector.ts';
import { frameText, readFrame } from './frame.ts';

const SMALL_BLOCK = 16;

function randomBytes(length: number, seed: number): Uint8Array {
  const next = seededWords(seed);
  return Uint8Array.from({ length }, () => next());
}

/** The texts of a sequence with small blocks, so that a thousand of them cost little. */
function smallSequence(payload: Uint8Array, session: number): (n: number) => string {
  const sums = new BlockSums(payload, SMALL_BLOCK, session);
  return (n) => frameText({ session, payloadBytes: payload.length, n, block: sums.sum(n) });
}

test.each([0, 0.2, 0.5])(
  '1,000 draws at a loss of %d: next to none needs a frame more than there are blocks',
  (loss) => {
    const extra: number[] = [];
    for (let draw = 0; draw < 1000; draw += 1) {
      const next = seededWords(draw * 7919 + loss * 100);
      const payload = randomBytes(1 + (next() % (40 * SMALL_BLOCK)), draw);
      const text = smallSequence(payload, next());
      const collector = new FrameCollector();
      let different = 0;
      for (let n = next() % 3 ? 0 : next() % 5000; collector.payload === null; n += 1) {
        if (next() / 2 ** 32 < loss) continue;
        collector.take(text(n));
        different += 1;
      }
      expect(collector.payload).toEqual(payload);
      extra.push(different - collector.needed);
    }
    extra.sort((a, b) => a - b);
    expect(extra[499]).toBe(0);
    expect(extra[989]).toBe(0);
  },
);

test('takes frames in any order, any of them again, from any moment on', () => {
  fc.assert(
    fc.property(
      fc.uint8Array({ minLength: 1, maxLength: 300 }),
      fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
      fc.array(fc.nat({ max: 5000 }), { minLength: 40, maxLength: 60 }),
      (payload, session, numbers) => {
        const text = smallSequence(payload, session >>> 0);
        const collector = new FrameCollector();
        const heard = [...numbers, ...numbers].map((n) => collector.take(text(n)));
        expect(heard.every((one) => ['new', 'known', 'whole'].includes(one))).toBe(true);
        for (let n = 0; collector.payload === null; n += 1) collector.take(text(n));
        expect(collector.payload).toEqual(payload);
      },
    ),
    { numRuns: 100 },
  );
});

test('a code that is no frame counts for nothing', () => {
  const collector = new FrameCollector();
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      expect(collector.take(text)).toBe('nothing');
    }),
  );
  fc.assert(
    fc.property(fc.uint8Array(), (bytes) => {
      expect(collector.take(base45Text(bytes))).toBe('nothing');
    }),
  );
  expect(collector.take('HTTPS://HUB.EXAMPLE/JOIN')).toBe('nothing');
  expect(collector.needed).toBe(0);
});

test('a frame with any one bit wrong counts for nothing', () => {
  const whole = base45Bytes(new CodeSequence(randomBytes(900, 3), 'coarse', 99).text(1))!;
  for (let bit = 0; bit < whole.length * 8; bit += 1) {
    const bytes = whole.slice();
    bytes[bit >> 3]! ^= 1 << (bit & 7);
    expect(readFrame(base45Text(bytes))).toBeNull();
  }
});

/** A frame's bytes with others in places, and the right CRC. */
function forged(text: string, change: (bytes: Uint8Array, view: DataView) => void): string {
  const bytes = base45Bytes(text)!.slice();
  const view = new DataView(bytes.buffer);
  change(bytes, view);
  view.setUint32(bytes.length - 4, crc32(bytes.subarray(0, -4)));
  return base45Text(bytes);
}

test('says a newer version, and takes none of it', () => {
  const text = new CodeSequence(randomBytes(900, 3), 'coarse', 99).text(0);
  const collector = new FrameCollector();
  expect(collector.take(forged(text, (bytes) => (bytes[2] = 2)))).toBe('newer');
  expect(collector.take(forged(text, (bytes) => (bytes[2] = 0)))).toBe('nothing');
  expect(collector.needed).toBe(0);
});

test('refuses frames that claim no bytes, more than 1 MiB or more than 1,024 blocks', () => {
  const text = new CodeSequence(randomBytes(900, 3), 'coarse', 99).text(0);
  const claiming = (bytes: number) => forged(text, (_, view) => view.setUint32(6, (99 << 24) | bytes));
  for (const bytes of [0, 1024 * 246 + 1, 1_048_577, 0xffffff]) expect(readFrame(claiming(bytes))).toBeNull();
  expect(readFrame(claiming(1024 * 246))).toMatchObject({ payloadBytes: 1024 * 246 });
});

test('with two senders in view the first stays, and the other is said', () => {
  const [first, second] = [randomBytes(900, 1), randomBytes(900, 2)];
  const [one, other] = [new CodeSequence(first, 'coarse', 1), new CodeSequence(second, 'coarse', 2)];
  const collector = new FrameCollector();
  expect(collector.take(one.text(0))).toBe('new');
  for (let n = 0; n < 9; n += 1) expect(collector.take(other.text(n))).toBe('other');
  // The same session with another length or size is another sequence as well.
  expect(collector.take(new CodeSequence(second.subarray(1), 'coarse', 1).text(0))).toBe('other');
  expect(collector.take(new CodeSequence(first, 'usual', 1).text(0))).toBe('other');
  for (let n = 4; collector.payload === null; n += 1) collector.take(one.text(n));
  expect(collector.payload).toEqual(first);
});

test('a forged frame of the same sequence is found out when a right one contradicts it', () => {
  const sequence = new CodeSequence(randomBytes(700, 5), 'coarse', 7);
  const collector = new FrameCollector();
  expect(collector.take(forged(sequence.text(1), (bytes) => (bytes[20]! ^= 1)))).toBe('new');
  expect(collector.take(sequence.text(1))).toBe('contradiction');
});

test('the largest payload there may be goes through', () => {
  const payload = randomBytes(1024 * 815, 11);
  const sequence = new CodeSequence(payload, 'fine', 0xffffffff);
  expect(sequence).toMatchObject({ blocks: 1024, fits: true });
  const collector = new FrameCollector();
  for (let n = 0; collector.payload === null; n += 1) if (n % 40) collector.take(sequence.text(n));
  expect(collector.payload.length).toBe(payload.length);
  expect(Buffer.compare(collector.payload, payload)).toBe(0);
  expect(new CodeSequence(randomBytes(1024 * 815 + 1, 11), 'fine', 1).fits).toBe(false);
});
