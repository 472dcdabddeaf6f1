import { readFileSync } from 'node:fs';

/** A worked example from print: what went in, what came out, how far rounding lets them differ. */
export interface PublishedExample {
  readonly id: string;
  readonly procedure: string;
  readonly input: Readonly<Record<string, unknown>>;
  readonly expected: Readonly<Record<string, number | readonly number[]>>;
  readonly tolerance: { readonly abs?: number; readonly rel?: number };
  readonly source: string;
  readonly seen: string;
  readonly note?: string;
}

const examplesIn = (file: string): readonly PublishedExample[] =>
  JSON.parse(readFileSync(new URL(`../../reference/${file}`, import.meta.url), 'utf8')) as readonly PublishedExample[];

const EXAMPLES = examplesIn('published.json');
const ALL_EXAMPLES = [...EXAMPLES, ...examplesIn('published-corrected.json'), ...examplesIn('published-pooled.json')];

/** All worked examples of the procedures of one race, each with its source. */
export function publishedExamples(): readonly PublishedExample[] {
  return EXAMPLES;
}

/** [title with source, example] of one procedure, ready for `it.each`; a procedure without examples is a mistake. */
export function publishedFor(procedure: string): [string, PublishedExample][] {
  const found = ALL_EXAMPLES.filter((example) => example.procedure === procedure);
  if (found.length === 0) throw new Error(`no published example for ${procedure}`);
  return found.map((example) => [`${example.id} (${example.source})`, example]);
}

// Printed p-values and variances are held to the relative tolerance where one is given: an absolute one would let a
// small one be anything.
const RELATIVE = new Set(['p', 'exactP', 'midP', 'adjustedP', 'variance']);

/** What differs from print by more than its rounding; empty when all is reproduced. */
export function differences(example: PublishedExample, found: object): string[] {
  const { abs = 0, rel } = example.tolerance;
  const out: string[] = [];
  for (const [name, printed] of Object.entries(example.expected)) {
    const want = [printed].flat();
    const got = [(found as Record<string, unknown>)[name]].flat();
    want.forEach((value, i) => {
      const byShare = (rel ?? 0) * Math.abs(value);
      const allowed = RELATIVE.has(name) && rel !== undefined ? byShare : Math.max(abs, byShare);
      const figure = got[i];
      if (typeof figure !== 'number' || !(Math.abs(figure - value) <= allowed * (1 + 1e-9))) {
        out.push(`${name}: printed ${String(value)}, computed ${String(figure)}`);
      }
    });
    if (got.length !== want.length) out.push(`${name}: printed ${want.length} figures, computed ${got.length}`);
  }
  return out;
}
