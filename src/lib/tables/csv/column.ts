/** What an export does to people's data, as far as descriptions depend on it. */
export interface Treatment {
  /** Whether codes stand in place of bibs. */
  readonly coded: boolean;
  /** How far times and ages were coarsened, in words; `null` when they are exact. */
  readonly coarsened: string | null;
}

/**
 * One column of a table, defined once: order, CSV, data dictionary and coded export follow from it. A table is a record of
 * columns by their headings, in the order in which they are written.
 */
export interface Column<Row> {
  readonly type: 'string' | 'number' | 'integer' | 'datetime';
  /** For the data dictionary. */
  readonly description: string | ((treatment: Treatment) => string);
  readonly constraints?: {
    readonly required?: boolean;
    readonly unique?: boolean;
    readonly enum?: readonly string[];
    readonly minimum?: number;
  };
  /**
   * Whom a cell can name. The coded export puts codes in place of a `bib` and of a club's `runner` code, and leaves empty
   * what names a `person` outright, free text among it, since people write names into notes.
   */
  readonly names: 'nobody' | 'bib' | 'runner' | 'person';
  /** Free text is guarded so that no spreadsheet program takes it for a formula. */
  readonly freeText?: boolean;
  /** Whether the table's reader needs it or takes it where it is; a column without this is written and not read. */
  readonly read?: 'needed' | 'optional';
  /** The cell's text; empty for none. */
  readonly write: (row: Row) => string;
}

export type Columns<Row, Name extends string = string> = Readonly<Record<Name, Column<Row>>>;

/** The names of the columns that the reader of a table takes. */
export type ReadName<Table extends Columns<never>> = {
  [Name in keyof Table]: Table[Name] extends { readonly read: string } ? Name : never;
}[keyof Table] &
  string;

/** The columns that are read, in their order; with `how`, those that are needed or those that may be missing. */
export function readNames<Table extends Columns<never>>(
  columns: Table,
  how: readonly string[] = ['needed', 'optional'],
): ReadName<Table>[] {
  return Object.keys(columns).filter((name): name is ReadName<Table> => how.includes(columns[name]?.read ?? ''));
}

/** A number as a cell has it; empty for none. */
export const numberCell = (value: number | null | undefined): string =>
  value === null || value === undefined ? '' : String(value);

/** A yes as a cell has it; empty for no. */
export const trueCell = (value: boolean | undefined): string => (value ? 'true' : '');
