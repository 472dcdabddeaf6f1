import { open, realpath, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { Io } from '../command.ts';

/** What has to be known so that an output destroys nothing. */
export interface OutputGuard {
  /** Every file that the command reads. */
  readonly inputs: readonly string[];
  /** Whether a file that is no earlier output may be replaced too. */
  readonly force: boolean;
}

export interface Output {
  readonly path: string;
  /** Whether the file that is there is an earlier output of this kind; without it none is. */
  readonly replaces?: (path: string) => Promise<boolean>;
}

/**
 * Says of each output why it must not be written: it is an input or another output (the same file by device and inode,
 * links followed), or it stands there already and is no earlier output.
 *
 * @returns one line for each, none when all may be written
 */
export async function refuseOutputs(outputs: readonly Output[], { inputs, force }: OutputGuard): Promise<string[]> {
  const taken = new Map<string, string>();
  for (const input of inputs) for (const key of await namesOf(input)) taken.set(key, `the input ${input}`);
  const faults: string[] = [];
  for (const { path, replaces } of outputs) {
    const keys = await namesOf(path);
    const other = keys.map((key) => taken.get(key)).find((what) => what !== undefined);
    if (other !== undefined) faults.push(`${path}: is the same file as ${other}; nothing was written`);
    else if (!force && !(await mayReplace(path, replaces))) {
      faults.push(`${path}: already exists and was not written by this command; --force replaces it`);
    }
    for (const key of keys) taken.set(key, `the output ${path}`);
  }
  return faults;
}

/** Says why outputs are refused; whether any is. */
export function isRefused(faults: readonly string[], io: Io): boolean {
  for (const fault of faults) io.err(`${fault}\n`);
  return faults.length > 0;
}

/** Under which a regular file is known, there already or not; none for a pipe or a device, which lose nothing. */
async function namesOf(path: string): Promise<string[]> {
  const found = await stat(path, { bigint: true }).catch(() => undefined);
  if (found) return found.isFile() ? [`${found.dev}:${found.ino}`] : [];
  const folder = await realpath(dirname(path)).catch(() => dirname(path));
  return [join(folder, basename(path))];
}

async function mayReplace(path: string, replaces: Output['replaces']): Promise<boolean> {
  const found = await stat(path).catch(() => undefined);
  return !found?.isFile() || found.size === 0 || (replaces?.(path) ?? false);
}

/** Whether a file begins with this text. */
export async function beginsWith(path: string, text: string): Promise<boolean> {
  const expected = Buffer.from(text);
  const file = await open(path);
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(expected.length), 0, expected.length, 0);
    return bytesRead === expected.length && buffer.equals(expected);
  } finally {
    await file.close();
  }
}
