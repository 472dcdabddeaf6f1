import { CLIP_LIMITS } from '../lib/video/clip-fault.ts';
import { makeCommand, type GivenOptions } from './command-options.ts';

const OPTIONS = { json: { type: 'boolean' } } as const;

/** What is asked of the command. */
export interface AskedClip {
  readonly file: string;
  readonly json: boolean;
}

/** Says what the app would keep of a video file. */
export const command = makeCommand({
  name: 'clip',
  summary: 'What the app would keep of a video file, from its index alone',
  usage: `Usage: npm run --silent kerbside -- clip FILE [--json]

Reads the index of an MP4, MOV or WebM file, not its pictures: fingerprint, frames and their
times, size and codec. Whether a browser can show the codec only that browser can tell. A rate
that the file does not settle is null: the app asks for it once, before the first mark.

  --json   print JSON and nothing else
`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run: async (asked, io) => (await import('./clip-run.ts')).runClip(asked, io),
});

function understand({ values, files }: GivenOptions<typeof OPTIONS>): AskedClip | string {
  const [file] = files;
  if (file === undefined || files.length > 1) {
    return `name one video file of at most ${CLIP_LIMITS.bytes / 2 ** 30} GiB`;
  }
  return { file, json: values.json ?? false };
}
