import { open, type FileHandle } from 'node:fs/promises';
import { clipFaultWords } from '../lib/video/clip-fault.ts';
import { readClip, type ClipFacts } from '../lib/video/read-clip.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { fileFault } from './input/file-fault.ts';
import type { AskedClip } from './clip.ts';

/** Does what is asked of the command; the exit code. */
export async function runClip({ file: path, json }: AskedClip, io: Io): Promise<number> {
  let handle: FileHandle;
  try {
    handle = await open(path);
  } catch (error) {
    io.err(`${path}: ${fileFault(error as NodeJS.ErrnoException)}\n`);
    return EXIT_FAULT;
  }
  try {
    const { size } = await handle.stat();
    const read = await readClip({ size, read: (from, to) => readBytes(handle, from, to) });
    if (!read.ok) {
      io.err(`${path}: ${clipFaultWords(read.error)}\n`);
      return EXIT_FAULT;
    }
    const kept = keptOf(read.value.facts);
    read.value.close();
    io.out(json ? `${JSON.stringify(kept, null, 2)}\n` : textOf(kept));
    return EXIT_DONE;
  } catch (error) {
    io.err(`${path}: ${fileFault(error as NodeJS.ErrnoException)}\n`);
    return EXIT_FAULT;
  } finally {
    await handle.close();
  }
}

async function readBytes(handle: FileHandle, from: number, to: number): Promise<Uint8Array> {
  const bytes = new Uint8Array(to - from);
  let done = 0;
  while (done < bytes.length) {
    const { bytesRead } = await handle.read(bytes, done, bytes.length - done, from + done);
    if (bytesRead === 0) break;
    done += bytesRead;
  }
  return bytes.subarray(0, done);
}

function textOf(kept: ReturnType<typeof keptOf>): string {
  const rate =
    kept.fpsRecorded ?? (kept.fpsProposed === null ? 'not settled' : `not settled; the file says ${kept.fpsProposed}`);
  const lines = [
    `fingerprint     ${kept.clip}`,
    `bytes           ${kept.bytes}`,
    `frames          ${kept.frames}`,
    `stored rate     ${kept.fpsStored} frames a second, ${kept.timing}`,
    `recorded rate   ${rate}`,
    `picture         ${kept.width} × ${kept.height}, turned by ${kept.rotation}°`,
    `codec           ${kept.codec}`,
    `made            ${kept.createdAt ?? 'not said'}`,
  ];
  return `${lines.join('\n')}\n`;
}

/** A file stored at more frames a second than this was taken at that rate; a slower one may be slow motion. */
const SETTLED_FPS = 60;

/** What stands in the record of the clip, as far as the file tells. */
function keptOf({ captureFps, createdMs, ...facts }: ClipFacts) {
  const settled = facts.fpsStored > SETTLED_FPS * 1.001;
  return {
    ...facts,
    fpsRecorded: settled ? facts.fpsStored : null,
    fpsFrom: settled ? 'file' : null,
    fpsProposed: settled ? null : captureFps,
    createdAt: createdMs === null ? null : new Date(createdMs).toISOString(),
  };
}
