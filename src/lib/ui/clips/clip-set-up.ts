import type { RateSource, Side } from '$lib/records/mark-words.ts';
import type { Clip } from '$lib/records/record.ts';
import type { ClipFacts } from '$lib/video/read-clip.ts';

/** What a person says of a clip before its first mark, or says anew. */
export interface ClipSetUp {
  readonly checkpoint: string;
  readonly fpsRecorded: number;
  readonly fpsFrom: RateSource;
  readonly direction: Side;
  readonly mirrored: boolean;
  readonly lensOff: number;
  readonly slateFrame?: number;
  /** RFC 3339 in UTC. */
  readonly slateAt?: string;
}

export type ClipDraft = Omit<Clip, 'id' | 'race' | 'observer' | 'device' | 'seq' | 'madeAt' | 'note'>;

/** The record of a clip: facts of the file, and what was said. Defaults are left out. */
export function clipDraft(
  { clip, bytes, frames, fpsStored, timing, width, height, rotation, codec }: ClipFacts,
  { mirrored, lensOff, slateFrame, slateAt, level, ...rest }: ClipSetUp & { readonly level: Clip['level'] },
): ClipDraft {
  return {
    ...{ kind: 'clip', clip, bytes, frames, fpsStored, timing, width, height, rotation, codec },
    ...rest,
    ...(mirrored ? { mirrored } : {}),
    ...(level ? { level } : {}),
    ...(lensOff > 0 ? { lensOff } : {}),
    ...(slateFrame === undefined || slateAt === undefined ? {} : { slateFrame, slateAt }),
  };
}

const SAID = [
  'checkpoint',
  'fpsRecorded',
  'direction',
  'mirrored',
  'lensOff',
  'level',
  'slateFrame',
  'slateAt',
] as const;

/** Whether nothing was said that does not stand already. */
export function isSameSetUp(before: Clip, draft: ClipDraft): boolean {
  return SAID.every((field) => JSON.stringify(before[field] ?? null) === JSON.stringify(draft[field] ?? null));
}
