// A movie file of as many frames as wanted with next to nothing in it: an index in which all pictures have one size and one
// length (ISO/IEC 14496-12). Its pictures are not to be decoded.

const u16 = (...values: number[]): Buffer => Buffer.concat(values.map((value) => Buffer.of(value >> 8, value & 255)));
function u32(...values: number[]): Buffer {
  const bytes = Buffer.alloc(4 * values.length);
  values.forEach((value, i) => bytes.writeUInt32BE(value, 4 * i));
  return bytes;
}
function box(name: string, ...content: readonly Buffer[]): Buffer {
  const size = 8 + content.reduce((sum, { length }) => sum + length, 0);
  return Buffer.concat([u32(size), Buffer.from(name, 'latin1'), ...content]);
}
const MATRIX = u32(0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000);
const UNITS = 240;

/** An MP4 of 240 frames a second; each frame is one byte. */
export function bareMovie(frames: number, width: number, height: number): Buffer {
  const ftyp = box('ftyp', Buffer.from('isom'), u32(0), Buffer.from('isomavc1'));
  const mdat = box('mdat', Buffer.alloc(frames));
  const avcC = box('avcC', Buffer.of(1, 0x64, 0, 0x2a, 0xff, 0xe0, 0));
  const resolution = u32(0x480000, 0x480000, 0);
  const avc1 = box(
    'avc1',
    ...[u32(0), u16(0, 1), u32(0, 0, 0, 0), u16(width, height), resolution, u16(1), Buffer.alloc(32), u16(24, 0xffff)],
    avcC,
  );
  const stbl = box(
    'stbl',
    ...[box('stsd', u32(0, 1), avc1), box('stts', u32(0, 1, frames, 1)), box('stss', u32(0, 1, 1))],
    ...[box('stsc', u32(0, 1, 1, frames, 1)), box('stsz', u32(0, 1, frames)), box('stco', u32(0, 1, ftyp.length + 8))],
  );
  const dinf = box('dinf', box('dref', u32(0, 1), box('url ', u32(1))));
  const minf = box('minf', box('vmhd', u32(1, 0, 0)), dinf, stbl);
  const hdlr = box('hdlr', u32(0, 0), Buffer.from('vide'), u32(0, 0, 0), Buffer.of(0));
  const mdia = box('mdia', box('mdhd', u32(0, 0, 0, UNITS, frames, 0x55c40000)), hdlr, minf);
  const tkhd = box('tkhd', u32(7, 0, 0, 1, 0, frames, 0, 0, 0, 0), MATRIX, u32(width * 65536, height * 65536));
  const next = u32(0, 0, 0, 0, 0, 0, 2);
  const mvhd = box('mvhd', u32(0, 0, 0, UNITS, frames, 0x10000, 0x1000000, 0, 0), MATRIX, next);
  return Buffer.concat([ftyp, mdat, box('moov', mvhd, box('trak', tkhd, mdia))]);
}
