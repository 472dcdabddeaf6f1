import type { BibList } from '../race/bib-list.ts';
import type { Foot, Gait } from '../records/foot.ts';
import { LIMITS } from '../records/record-fields.ts';

/** One runner as written on a tally sheet. */
export interface PaperRunner {
  readonly bib: string | null;
  readonly gait: Gait;
  readonly left: Foot;
  readonly right: Foot;
}

/** A line that cannot be read, or that should be looked at; counted from 1. */
export interface PaperRemark {
  readonly line: number;
  readonly text: string;
  /** Whether the line is left out for it. */
  readonly fault: boolean;
}

export interface PaperLines {
  readonly runners: readonly (PaperRunner & { readonly line: number })[];
  readonly remarks: readonly PaperRemark[];
}

const FEET: Readonly<Record<string, Foot>> = {
  r: 'rearfoot',
  m: 'midfoot',
  f: 'forefoot',
  '-': 'unseen',
  '–': 'unseen',
};
const EXPECTED = 'expected a bib (or no) and the feet, such as 1734 RR, 88 MF, 512 R-, no FF or 7 walk';

/**
 * Reads a tally sheet as it is keyed in: a line for each runner, bib first, then the left and the right foot by the letters of
 * the sheet (R, M, F, - for not seen) or `walk`. Empty lines count for nothing.
 *
 * @param bibs the start list, to say who is not on it
 */
export function readPaperLines(text: string, bibs: BibList): PaperLines {
  const runners: (PaperRunner & { line: number })[] = [];
  const remarks: PaperRemark[] = [];
  const seen = new Map<string, number>();
  text.split('\n').forEach((row, i) => {
    const line = i + 1;
    const words = row.trim().split(/\s+/);
    if (words[0] === '') return;
    const runner = runnerOf(words);
    if (!runner) {
      remarks.push({ line, text: `“${row.trim()}”: ${EXPECTED}`, fault: true });
      return;
    }
    runners.push({ ...runner, line });
    if (runner.bib === null) return;
    const before = seen.get(runner.bib);
    if (before !== undefined) remarks.push({ line, text: `${runner.bib} stands in line ${before} too`, fault: false });
    else seen.set(runner.bib, line);
    if (bibs.size && !bibs.has(runner.bib)) {
      remarks.push({ line, text: `${runner.bib} is not on the start list`, fault: false });
    }
  });
  return { runners, remarks };
}

function runnerOf([bib = '', ...rest]: readonly string[]): PaperRunner | undefined {
  if (bib.length > LIMITS.bib) return undefined;
  const who = /^no$/i.test(bib) ? null : bib;
  const seen = rest.join('').toLowerCase();
  if (seen === 'walk' || seen === 'w') return { bib: who, gait: 'walk', left: 'unseen', right: 'unseen' };
  const [left, right, more] = [...seen].map((letter) => FEET[letter]);
  const complete = seen.length === 2 && left !== undefined && right !== undefined && more === undefined;
  return complete ? { bib: who, gait: 'run', left, right } : undefined;
}

const LETTERS: Readonly<Record<Foot, string>> = { rearfoot: 'R', midfoot: 'M', forefoot: 'F', unseen: '-' };

/** The line of a runner as it would be keyed in by letters. */
export function paperLine(bib: string | null, feet: Pick<PaperRunner, 'left' | 'right'> | 'walk'): string {
  return `${bib ?? 'no'} ${feet === 'walk' ? 'walk' : LETTERS[feet.left] + LETTERS[feet.right]}`;
}

/** The times of `count` runners spread evenly between the two that the sheet has, milliseconds since 1970, in order. */
export function timesBetween(fromMs: number, toMs: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => Math.round(fromMs + ((i + 0.5) / count) * (toMs - fromMs)));
}

/** A runner whom two persons keyed in differently from one sheet; `undefined` where one has nobody. */
export interface PaperDifference {
  /** Place on the sheet, from 1. */
  readonly place: number;
  readonly first: PaperRunner | undefined;
  readonly second: PaperRunner | undefined;
}

const alike = (a: PaperRunner | undefined, b: PaperRunner | undefined) =>
  a !== undefined &&
  b !== undefined &&
  a.bib === b.bib &&
  a.gait === b.gait &&
  a.left === b.left &&
  a.right === b.right;

/** Where two keyings of one sheet differ, place by place. */
export function paperDifferences(first: readonly PaperRunner[], second: readonly PaperRunner[]): PaperDifference[] {
  return Array.from({ length: Math.max(first.length, second.length) }, (_, i) => ({
    ...{ place: i + 1, first: first[i], second: second[i] },
  })).filter((one) => !alike(one.first, one.second));
}
