import { Boxes, boxHead } from './boxes.ts';
import type { ClipFile } from './clip-file.ts';
import { readSampleTimes, type SampleTimes } from './sample-times.ts';

/** One piece of an edit list; times in seconds of the movie. */
export interface Edit {
  /** `null`: an empty piece, nothing is shown. */
  readonly mediaTime: number | null;
  /** 0: to the end. */
  readonly seconds: number;
  readonly rate: number;
}

/** What an MP4 or QuickTime file says before its pictures that the frame list does not. */
export interface MovieHeader {
  /** By the id of the track. */
  readonly edits: ReadonlyMap<number, readonly Edit[]>;
  /** By the id of the track; none of a track whose index does not hold all its pictures. */
  readonly sampleTimes: ReadonlyMap<number, SampleTimes>;
  /** Units a second in which lengths of edits are written. */
  readonly timescale: number;
  /** When the file says that it was made, milliseconds since 1970; `null` when it does not. */
  readonly createdMs: number | null;
}

/** `cut-off`: the file ends before what it announces. `other`: no file of this family. */
export type NoMovieHeader = 'cut-off' | 'other';

/** Greater headers are no clip's. */
const MOST_HEADER_BYTES = 256 << 20;
/** Seconds from 1904-01-01, where the family's clock starts, to 1970-01-01. */
const EPOCH_1904 = 2_082_844_800;
const CONTAINERS = ['trak', 'edts'];
const FIRST_BOXES = ['ftyp', 'moov', 'mdat', 'wide', 'free', 'skip', 'pnot'];

/** Reads the header of an MP4 or QuickTime file: 16 bytes of each box on the way, and the header itself. */
export async function readMovieHeader(file: ClipFile): Promise<MovieHeader | NoMovieHeader> {
  let at = 0;
  let header: MovieHeader | null = null;
  while (at + 8 <= file.size) {
    const head = await file.read(at, Math.min(at + 16, file.size));
    const box = boxHead(new DataView(head.buffer, head.byteOffset, head.byteLength), 0, file.size - at);
    if (at === 0 && !FIRST_BOXES.includes(box.name)) return 'other';
    if (box.size < box.head || at + box.size > file.size) return 'cut-off';
    if (box.name === 'moov' && box.size <= MOST_HEADER_BYTES) {
      header = parseMovie(await file.read(at + box.head, at + box.size));
    }
    at += box.size;
  }
  return header ?? 'cut-off';
}

function parseMovie(bytes: Uint8Array): MovieHeader {
  const boxes = new Boxes(bytes);
  const edits = new Map<number, Edit[]>();
  const sampleTimes = new Map<number, SampleTimes>();
  let isWhole = true;
  let timescale = 1000;
  let createdMs: number | null = null;
  for (const box of boxes.between(0, bytes.length)) {
    if (box.name === 'mvhd') {
      const long = boxes.isLong(box);
      timescale = boxes.u32(box.from + (long ? 20 : 12));
      const created = boxes.whole(box.from + 4, long);
      createdMs = created > EPOCH_1904 ? (created - EPOCH_1904) * 1000 : null;
    }
    // Further pictures stand in pieces after the header.
    if (box.name === 'mvex') isWhole = false;
    if (box.name !== 'trak') continue;
    const id = readTrack(boxes, box, edits);
    const times = readSampleTimes(boxes, box);
    if (times) sampleTimes.set(id, times);
  }
  const seconds = ({ mediaTime, seconds: units, rate }: Edit): Edit => ({
    mediaTime,
    rate,
    seconds: units / timescale,
  });
  return {
    timescale,
    createdMs,
    edits: new Map([...edits].map(([track, list]) => [track, list.map(seconds)])),
    sampleTimes: isWhole ? sampleTimes : new Map(),
  };
}

/** Returns the id of the track. */
function readTrack(boxes: Boxes, track: { from: number; to: number }, edits: Map<number, Edit[]>): number {
  let id = 0;
  let list: Edit[] = [];
  const walk = (from: number, to: number): void => {
    for (const box of boxes.between(from, to)) {
      if (box.name === 'tkhd') id = boxes.u32(box.from + (boxes.isLong(box) ? 20 : 12));
      if (box.name === 'elst') list = readEdits(boxes, box);
      if (CONTAINERS.includes(box.name)) walk(box.from, box.to);
    }
  };
  walk(track.from, track.to);
  edits.set(id, list);
  return id;
}

function readEdits(boxes: Boxes, box: { from: number; to: number }): Edit[] {
  const long = boxes.isLong(box);
  const width = long ? 20 : 12;
  const count = Math.min(boxes.u32(box.from + 4), Math.floor((box.to - box.from - 8) / width));
  return Array.from({ length: count }, (_, i) => {
    const at = box.from + 8 + i * width;
    const mediaTime = boxes.signed(at + (long ? 8 : 4), long);
    return {
      seconds: boxes.whole(at, long),
      mediaTime: mediaTime === -1 ? null : mediaTime,
      rate: boxes.signed(at + width - 4, false) / 65_536,
    };
  });
}
