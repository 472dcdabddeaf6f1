import type { SingleFootRule } from '../sightings/runner-classes.ts';
import type { Findings } from './findings.ts';

/** What a file of findings says of itself, so that it can be judged apart from where it was made. */
export interface AboutFindings {
  readonly program: string;
  readonly version: string;
  /** Of the analysis contract: the meaning of every member. */
  readonly contract: 1;
  readonly race: { readonly name: string; readonly date: string };
  /** RFC 3339. */
  readonly made: string;
  readonly level: number;
  readonly singleFoot: SingleFootRule;
  readonly early: string | null;
  readonly late: string | null;
  /** SHA-256 of the tables from which the figures were computed, as hexadecimal digits. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Whether codes stand for bibs, and how far times, ages and clock times were coarsened. */
  readonly coded: boolean;
  readonly coarsened: string | null;
}

export type DescribedFindings = { readonly about: AboutFindings } & Findings;

export function described(
  findings: Findings,
  about: Omit<AboutFindings, 'program' | 'contract' | 'early' | 'late'>,
): DescribedFindings {
  const { shift, shares } = findings;
  return {
    about: {
      program: 'kerbside',
      contract: 1,
      ...about,
      early: shift?.early ?? shares[0]?.checkpoint ?? null,
      late: shift?.late ?? null,
    },
    ...findings,
  };
}
