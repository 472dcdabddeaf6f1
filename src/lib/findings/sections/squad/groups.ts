import { quantileType7 } from '../../../stats/samples/quantile-type7.ts';
import type { Field, FieldRow } from '../../field.ts';
import type { RaceInFocus } from '../../race-in-focus.ts';
import { changeOf, shareAt, SMALL_SQUAD, type SquadChange, type SquadShare } from './figures.ts';

/** Which runners of a squad and of the rest of the field stand together. */
export type GroupOf =
  | { readonly kind: 'sex'; readonly sex: string }
  /** Years: from the first to below the second; `null` is open. */
  | { readonly kind: 'age'; readonly from: number | null; readonly below: number | null }
  /** Of all finishers' times; 0 is the fastest. */
  | { readonly kind: 'third'; readonly third: 0 | 1 | 2 };

export interface SquadGroup {
  readonly of: GroupOf;
  /** At the early checkpoint: the squad, then the rest of the field. */
  readonly shares: readonly SquadShare[];
  /** Early to late; none where both are one. */
  readonly changes: readonly SquadChange[];
}

/** Ages that part a field into three (common practice, no source). */
const AGES = [35, 50] as const;
/** More writings of sex than this are no groups to compare (a bound of our own, no source). */
const MOST_SEXES = 4;

/**
 * The squad and the rest of the field by sex, age and third of the finishers' times, as the results tell them. A group in which
 * fewer than {@link SMALL_SQUAD} runners of the squad, or of the rest, were classified at the early checkpoint is left out.
 */
export function squadGroups({ race, field, early, late, level }: RaceInFocus, bibs: readonly string[]): SquadGroup[] {
  if (!field) return [];
  const wanted = new Set(bibs);
  const { table } = race;
  const found = groupTests(field).map(({ of, belongs }): SquadGroup => {
    const member = Uint8Array.from(table.bibs, (bib, place) => {
      const row = field.rows[field.rowOfBib[place]!];
      if (!row || !belongs(row)) return 2;
      return wanted.has(bib) ? 1 : 0;
    });
    const sides = [1, 0] as const;
    return {
      of,
      shares: sides.map((inside) => shareAt(race, member, inside, early, level)),
      changes: early === late ? [] : sides.map((inside) => changeOf(race, member, inside, early, late, level)),
    };
  });
  return found.filter(({ shares }) => shares.every(({ classified }) => classified >= SMALL_SQUAD));
}

interface GroupTest {
  readonly of: GroupOf;
  readonly belongs: (row: FieldRow) => boolean;
}

function groupTests({ rows }: Field): GroupTest[] {
  const sexes = [...new Set(rows.flatMap(({ sex }) => (sex ? [sex] : [])))].sort();
  const spans = [null, ...AGES, null];
  const finishes = Float64Array.from(rows.flatMap(({ finish }) => finish ?? [])).sort();
  const cuts = [1 / 3, 2 / 3].map((share) => quantileType7(finishes, share));
  return [
    ...(sexes.length <= MOST_SEXES ? sexes : []).map((sex): GroupTest => ({
      of: { kind: 'sex', sex },
      belongs: (row) => row.sex === sex,
    })),
    ...spans.slice(1).map((below, i): GroupTest => {
      const from = spans[i] ?? null;
      const belongs = ({ age }: FieldRow) =>
        age != null && (from === null || age >= from) && (below === null || age < below);
      return { of: { kind: 'age', from, below }, belongs };
    }),
    ...([0, 1, 2] as const).map((third): GroupTest => ({
      of: { kind: 'third', third },
      // A time equal to a cut is in the faster third, as with the quarters.
      belongs: ({ finish }) => finish != null && cuts.filter((cut) => cut !== null && finish > cut).length === third,
    })),
  ];
}
