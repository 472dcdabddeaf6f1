import type { ClipItem } from '../../../practice/practice-session.ts';

/** Clips by the name of their item: the file's name without its ending. */
export type ClipFiles = ReadonlyMap<string, File>;

export const NO_CLIPS: ClipFiles = new Map();

export const withoutEnding = (name: string): string => name.replace(/\.[^.]+$/, '');

export const clipsByItem = (files: Iterable<File>): ClipFiles =>
  new Map([...files].map((file) => [withoutEnding(file.name), file]));

/** What clips and key leave out of each other, in words; empty when they fit. */
export function leftOutWords(files: ClipFiles, key: readonly ClipItem[]): string {
  if (files.size === 0 || key.length === 0) return '';
  const known = new Set(key.map(({ item }) => item));
  const strangers = [...files.keys()].filter((item) => !known.has(item)).length;
  const without = key.filter(({ item }) => !files.has(item)).length;
  const parts = [
    strangers ? `${strangers} without a row in the key` : '',
    without ? `${without} of the key without a clip` : '',
  ].filter(Boolean);
  return parts.length ? `Left out: ${parts.join(', ')}.` : '';
}
