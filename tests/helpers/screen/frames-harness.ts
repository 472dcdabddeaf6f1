import { openFrames, type OpenedFrames } from '../../../src/lib/ui/clips/frames/open-frames.ts';
import type { ShownFrame } from '../../../src/lib/ui/clips/frames/frame-source.ts';
import { searchClip } from '../../../src/lib/ui/clips/search/search-clip.ts';
import { clipFaultWords } from '../../../src/lib/video/clip-fault.ts';

// Runs in the browser: opens clips that the page's server holds and says which frame the pixels show.

let opened: OpenedFrames | null = null;
const canvas = document.createElement('canvas');
const context = canvas.getContext('2d', { willReadFrequently: true })!;

async function open(name: string, decoder: boolean): Promise<object> {
  close();
  return openBlob(await (await fetch(name)).blob(), decoder);
}

/** Opens the file that was chosen on the page: it stays on the disk. */
async function openChosen(decoder: boolean): Promise<object> {
  close();
  return openBlob(document.querySelector('input')!.files![0]!, decoder);
}

async function openBlob(blob: Blob, decoder: boolean): Promise<object> {
  const began = performance.now();
  const read = await openFrames(blob, { decoder });
  if (!read.ok) return { fault: read.error.type, words: clipFaultWords(read.error) };
  opened = read.value;
  const { facts } = opened.clip;
  canvas.width = facts.width;
  canvas.height = facts.height;
  return { kind: opened.frames.kind, facts, openMs: performance.now() - began, blobBytes: blob.size };
}

function close(): void {
  opened?.frames.close();
  opened?.clip.close();
  opened = null;
}

function draw({ picture, turn }: ShownFrame): void {
  const { width, height } = canvas;
  const lying = turn === 90 || turn === 270;
  context.setTransform(1, 0, 0, 1, width / 2, height / 2);
  context.rotate((turn * Math.PI) / 180);
  const [w, h] = lying ? [height, width] : [width, height];
  context.drawImage(picture, -w / 2, -h / 2, w, h);
  context.setTransform(1, 0, 0, 1, 0, 0);
}

/** The number that the bar code along the edge of a reference clip carries; -1 when it is not sound. */
function barCode({ x, y, cell, bits }: { x: number; y: number; cell: number; bits: number }): number {
  const { data, width } = context.getImageData(0, 0, x + bits * cell, y + 2 * cell);
  const at = (px: number, py: number) => data[4 * (Math.round(py) * width + Math.round(px))]!;
  let value = 0;
  for (let bit = 0; bit < bits; bit += 1) {
    const px = x + (bit + 0.5) * cell;
    const [one, complement] = [at(px, y + cell / 2), at(px, y + cell * 1.5)];
    if (Math.abs(one - complement) < 60) return -1;
    if (one > complement) value |= 1 << bit;
  }
  return value;
}

interface Shown {
  readonly asked: number;
  readonly seen: number;
  readonly exact: boolean;
  readonly ms: number;
  readonly heldBytes: number;
}

/** Shows one frame after another and reads back what is to be seen. */
async function steps(
  frames: readonly number[],
  bar: Parameters<typeof barCode>[0],
  { pauseMs = 0, ahead = 0 }: { pauseMs?: number; ahead?: -1 | 0 | 1 } = {},
): Promise<Shown[]> {
  const results: Shown[] = [];
  for (const asked of frames) {
    const began = performance.now();
    const shown = await opened!.frames.show(asked);
    if (shown) draw(shown);
    // Drawing may be put off until somebody looks.
    context.getImageData(0, 0, 1, 1);
    const ms = performance.now() - began;
    const seen = shown ? barCode(bar) : -2;
    results.push({ asked, seen, exact: shown?.exact ?? false, ms, heldBytes: opened!.frames.heldBytes });
    if (ahead !== 0) opened!.frames.readAhead(asked, ahead);
    if (pauseMs > 0) await new Promise((resolve) => setTimeout(resolve, pauseMs));
  }
  return results;
}

/** A checksum of what each frame looks like, for clips without a bar code. */
async function pictures(frames: readonly number[]): Promise<number[]> {
  const sums: number[] = [];
  for (const frame of frames) {
    const shown = await opened!.frames.show(frame);
    if (shown) draw(shown);
    const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
    sums.push(data.reduce((sum, value, i) => (i % 4 === 3 ? sum : (sum * 31 + value) % 1_000_003), 7));
  }
  return sums;
}

/** Looks through the open clip for places where somebody passes. */
async function search(fpsRecorded: number): Promise<object> {
  const { clip } = opened!;
  const { timing, fpsStored, frames } = clip.facts;
  const began = performance.now();
  const found = await searchClip(clip, { timing, fpsStored, fpsRecorded }, () => {});
  return { found, searchMs: performance.now() - began, playsMs: (frames / fpsStored) * 1000 };
}

Object.assign(globalThis, { harness: { open, openChosen, close, steps, pictures, search } });
