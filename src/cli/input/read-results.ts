import type { ResultRow } from '../../lib/race/race.ts';
import type { SightingTable } from '../../lib/sightings/sighting-table.ts';
import { bibMatchWords, matchBibs, rowsInForm, type BibForm } from '../../lib/tables/organiser/bib-forms.ts';
import { raceLength } from '../../lib/tables/organiser/pace-limits.ts';
import { USUAL_WIDTH, type Io } from '../command.ts';
import type { ListChoice } from './list-options.ts';
import { columnsTable, readListTable } from './read-list.ts';
import { fittedTable } from '../output/text-parts.ts';

/**
 * Reads the results of a race whose sightings are known: times are judged by its length, births by its day, and the bibs
 * are met with those that were sighted.
 *
 * @param table `null` or `undefined` when the sightings could not be read
 * @returns `undefined` when the results are not to be used as they are, which is then said
 */
export async function readResults(
  path: string,
  table: SightingTable | undefined,
  choice: ListChoice,
  io: Io,
): Promise<ResultRow[] | undefined> {
  const known = {
    length: raceLength(choice.km, table?.checkpoints.at(-1)?.km),
    raceDate: table ? dateOf(table) : null,
    startOfDay: choice.startOfDay,
  };
  const read = await readListTable(path, 'results', { ...choice.options, known, sheet: choice.sheet }, io);
  if (!read) return undefined;
  if (choice.show) {
    io.out(
      `${fittedTable(['column', 'heading', 'read as', 'first', 'second', 'third'], columnsTable(read), io.width ?? USUAL_WIDTH).join('\n')}\n`,
    );
  }
  if (!table) return read.rows;
  return inSightedBibs(path, read.rows, table.bibs, choice.bibs, io);
}

/**
 * Rows of a list under the bibs that were sighted. Where another form of its bibs would meet clearly more of them, that is said;
 * where as they stand they meet none, nothing is taken.
 *
 * @param form how a person says the bibs are to be met; `null` when nobody did
 * @returns `undefined` when the list is not to be used as it is, which is then said
 */
export function inSightedBibs<Row extends { bib: string }>(
  path: string,
  rows: readonly Row[],
  sighted: readonly string[],
  form: BibForm | null,
  io: Io,
): Row[] | undefined {
  if (form !== null) return rowsInForm(rows, sighted, form);
  const match = matchBibs(
    rows.map(({ bib }) => bib),
    sighted,
  );
  const text = bibMatchWords(match);
  if (match.matched === 0 && !match.better && rows.length > 0 && match.sighted > 0) {
    io.err(`${path}: none of these bibs was sighted, however they are read: is it the right race?\n`);
  }
  if (text === null || !match.better) return [...rows];
  io.err(
    `${path}: ${text} Say so with --bibs ${match.better.form}${match.matched === 0 ? ', or --bibs as-written to go on without' : ''}\n`,
  );
  return match.matched === 0 ? undefined : [...rows];
}

/** The day of the race, by its first sighting; UTC, as a table holds instants. */
export function dateOf({ observedAtMs }: SightingTable): string | null {
  if (observedAtMs.length === 0) return null;
  const first = observedAtMs.reduce((least, ms) => Math.min(least, ms), Infinity);
  return new Date(first).toISOString().slice(0, 10);
}
