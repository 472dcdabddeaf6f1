import {
  ORGANISER_FIELDS,
  readOrganiserFile,
  type OrganiserKind,
  type OrganiserOptions,
  type OrganiserRows,
  type OrganiserTable,
} from '../../lib/tables/organiser/organiser-file.ts';
import type { OrganiserField } from '../../lib/tables/organiser/organiser-headings.ts';
import { tableFaultWords } from '../../lib/tables/csv/table-fault.ts';
import { isZip, noWorkbookWords, workbookText } from '../../lib/tables/organiser/workbook.ts';
import type { Io } from '../command.ts';
import { shortened } from '../output/terminal-columns.ts';
import { readWhole, sayFaults } from './read-tables.ts';

const LIST_WORDS: Record<OrganiserKind, string> = { startlist: 'a start list', results: 'results' };

export interface ListOptions extends OrganiserOptions {
  /** Of a workbook. */
  readonly sheet?: string | undefined;
}

/**
 * Reads a start list or results as the app's import does, and says on standard error which columns it took, what was
 * converted, and which rows are left out for a fault.
 *
 * @returns `undefined` when the file is not to be used as it is, which is then said on standard error
 */
export async function readListFile<Kind extends OrganiserKind>(
  path: string,
  kind: Kind,
  options: ListOptions,
  io: Io,
): Promise<OrganiserRows[Kind][] | undefined> {
  const table = await readListTable(path, kind, options, io);
  return table?.rows;
}

/** As `readListFile`, with the layout. */
export async function readListTable<Kind extends OrganiserKind>(
  path: string,
  kind: Kind,
  { sheet, ...options }: ListOptions,
  io: Io,
): Promise<OrganiserTable<Kind> | undefined> {
  const bytes = await bytesOfList(path, kind, sheet, io);
  if (!bytes) return undefined;
  const table = readOrganiserFile(bytes.text, kind, bytes.workbook ? { ...options, delimiter: ',' } : options);
  if (table.question) {
    const hint =
      table.question.proposals.length > 0
        ? `say so with ${table.question.proposals.map(({ form }) => `--times ${form}`).join(' or ')}`
        : 'give it with --start 9:30 and say so with --times time-of-day';
    io.err(`${path}: ${tableFaultWords(table.faults.at(-1)!)}; ${hint}\n`);
    return undefined;
  }
  sayFaults(io, path, table.faults, table.faultCount);
  if (table.refused) return undefined;
  if (table.faultyRows > 0) {
    const rows = table.faultyRows === 1 ? 'this row is' : `these ${table.faultyRows} rows are`;
    io.err(`${path}: ${rows} left out; ${table.rows.length} were read\n`);
  }
  for (const sentence of table.said) io.err(`${path}: ${sentence}\n`);
  io.err(`${path}: ${columnsText(table)}\n`);
  return table;
}

async function bytesOfList(
  path: string,
  kind: OrganiserKind,
  sheet: string | undefined,
  io: Io,
): Promise<{ text: Uint8Array; workbook: boolean } | undefined> {
  const bytes = await readWhole(path, LIST_WORDS[kind], io);
  if (!bytes) return undefined;
  if (!isZip(bytes)) return { text: bytes, workbook: false };
  const read = await workbookText(bytes, sheet);
  if (!read.ok) {
    io.err(`${path}: ${noWorkbookWords(read.error)}\n`);
    return undefined;
  }
  if (read.value.sheets.length > 1)
    io.err(`${path}: read from sheet "${read.value.sheet}" of ${read.value.sheets.length}\n`);
  return { text: new TextEncoder().encode(read.value.text), workbook: true };
}

/** `columns: bib from "Bib", finish from "Net Time"; not in the file: age` */
function columnsText({ kind, layout }: OrganiserTable<OrganiserKind>): string {
  const fields: readonly OrganiserField[] = ORGANISER_FIELDS[kind];
  const taken = fields.filter((field) => layout?.columns[field] != null);
  const missing = fields.filter((field) => !taken.includes(field));
  const said = taken.map((field) => `${field} from "${layout?.headings[layout.columns[field]!] ?? ''}"`);
  return `columns: ${said.join(', ')}${missing.length > 0 ? `; not in the file: ${missing.join(', ')}` : ''}`;
}

/** Of a cell as much is shown: its beginning tells what a column holds. */
const MOST_COLUMNS = 24;

/** How a list was read, a line for each column with its first cells: what `--columns` prints. */
export function columnsTable(table: OrganiserTable<OrganiserKind>): string[][] {
  const { layout } = table;
  const fields: readonly OrganiserField[] = ORGANISER_FIELDS[table.kind];
  return (layout?.headings ?? []).map((heading, i) => [
    String(i + 1),
    shortened(heading || '(no heading)', MOST_COLUMNS),
    fields.find((field) => layout?.columns[field] === i) ?? 'not read',
    ...[0, 1, 2].map((row) => shortened((layout?.sample[row]?.[i] ?? '').trim().replace(/\s+/g, ' '), MOST_COLUMNS)),
  ]);
}
