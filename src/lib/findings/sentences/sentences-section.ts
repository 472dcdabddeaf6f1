import type { Findings } from '../findings.ts';
import { capital, distance } from '../../words/numbers.ts';
import { plain, type Sentence } from './sentences-parts.ts';

/** The words of one section: what a person can repeat, then what a reviewer asks. */
export interface SectionWords {
  /** What no figure of the section can say, whatever it is: said once, at its head. */
  readonly cause?: Sentence;
  /** What governs the whole section: said once, at its head. */
  readonly cautions?: readonly Sentence[];
  /** One sentence with figure, interval and denominator, or what is missing. */
  readonly lead: Sentence;
  /** Tests with their meaning in words, the one that fits the question first. */
  readonly tests: readonly { readonly question: string; readonly answer: Sentence }[];
  /** Denominators, what was left out, cautions. */
  readonly remarks: readonly Sentence[];
  /** What the lead takes for granted. */
  readonly assumed?: readonly Sentence[];
}

/** `Old Pier (10 km)`, from the checkpoint's name. */
export function place(findings: Findings, checkpoint: string): string {
  const found = findings.shares.find((entry) => entry.checkpoint === checkpoint);
  return found ? `${checkpoint} (${distance(found.km)})` : checkpoint;
}

/** Above 0.05 nothing is settled; below it the effect and its interval are what counts, not the p-value. */
export function settles(p: number | null): boolean {
  return p !== null && p < 0.05;
}

export const NOT_SETTLED = 'the data do not settle it';

/** All words of a section as plain lines, for a terminal or a test. */
export function plainLines(words: SectionWords): string[] {
  return [
    ...(words.cause ? [plain(words.cause)] : []),
    ...(words.cautions ?? []).map(plain),
    plain(words.lead),
    ...words.tests.map(({ question, answer }) => `${question} ${capital(plain(answer))}`),
    ...words.remarks.map(plain),
    ...(words.assumed ?? []).map(plain),
  ];
}
