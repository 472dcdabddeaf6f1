import { basename } from 'node:path';

export interface NamedFile {
  readonly race: string;
  readonly path: string;
}

/** Findings files, or the path of a list of tables. */
export type SeasonFiles = readonly NamedFile[] | string;

/** Findings files with the names of their races; what is wrong with them in words. */
export function namedFiles(files: readonly string[]): readonly NamedFile[] | string {
  const from = files.map(namedFile);
  const empty = from.find(({ race, path }) => race === '' || path === '');
  if (empty) return `"${empty.race}=${empty.path}" is not NAME=FINDINGS.json`;
  const twice = from.find(({ race }, i) => from.findIndex((other) => other.race === race) < i);
  if (twice) return `"${twice.race}" names two races; name one of them otherwise with NAME=FINDINGS.json`;
  return from;
}

/** `NAME=FINDINGS.json`, or the file's own name without folder and ending. */
function namedFile(given: string): NamedFile {
  const at = given.indexOf('=');
  if (at >= 0) return { race: given.slice(0, at), path: given.slice(at + 1) };
  return { race: basename(given).replace(/\.json$/, ''), path: given };
}
