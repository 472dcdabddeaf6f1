// Writes a copy of an MP4 whose video track has two pieces in its edit list: node write-two-edits.mjs IN OUT
import { readFileSync, writeFileSync } from 'node:fs';
const [, , input, output] = process.argv;
const bytes = readFileSync(input);
const at = bytes.indexOf('elst') - 4;
const old = bytes.readUInt32BE(at);
const entry = bytes.subarray(at + 16, at + old);
const elst = Buffer.concat([Buffer.alloc(16), entry, entry]);
bytes.copy(elst, 0, at, at + 12);
elst.writeUInt32BE(elst.length, 0);
elst.writeUInt32BE(2, 12);
const more = elst.length - old;
// The sizes of the boxes around it grow; the pictures stand before the header, so that no offset changes.
for (const name of ['edts', 'trak', 'moov']) {
  const box = bytes.lastIndexOf(name, at) - 4;
  bytes.writeUInt32BE(bytes.readUInt32BE(box) + more, box);
}
writeFileSync(output, Buffer.concat([bytes.subarray(0, at), elst, bytes.subarray(at + old)]));
