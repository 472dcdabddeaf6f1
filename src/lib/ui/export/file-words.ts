import type { Race } from '../../race/race.ts';

/** The name of a race's export, in characters that every file system takes. */
export function zipName({ name, date }: Pick<Race, 'name' | 'date'>): string {
  const plain = name.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');
  return `${plain || 'race'}-${date}.zip`;
}

/** A file's size for a person. */
export function sizeWords(bytes: number): string {
  if (bytes < 1024) return `${bytes} bytes`;
  if (bytes < 1024 ** 2) return `${Math.round(bytes / 1024)} kB`;
  return `${(bytes / 1024 ** 2).toFixed(1)} MB`;
}
