import { crc32, deflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { withDensity } from './png-density.ts';

function chunk(type: string, data: Uint8Array): Buffer {
  const body = Buffer.concat([Buffer.from(type), data]);
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(body));
  const length = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  return Buffer.concat([length, body, sum]);
}

it('says the density in a chunk of its own whose sum is right, and leaves the rest as it was', () => {
  const header = Buffer.from([0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]);
  const rest = [chunk('IDAT', deflateSync(Buffer.from([0, 255]))), chunk('IEND', Buffer.alloc(0))];
  const start = Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]), chunk('IHDR', header)]);
  // 300 dots an inch are 11811 a metre. The sum is that of Node's zlib.
  const density = Buffer.from([0, 0, 0x2e, 0x23, 0, 0, 0x2e, 0x23, 1]);
  expect(Buffer.from(withDensity(Buffer.concat([start, ...rest]), 300))).toEqual(
    Buffer.concat([start, chunk('pHYs', density), ...rest]),
  );
});
