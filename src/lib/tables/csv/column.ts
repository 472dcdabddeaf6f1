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
  /** The cell's text; empty for none. */
  readonly write: (row: Row) => string;
}

export type Columns<Row, Name extends string = string> = Readonly<Record<Name, Column<Row>>>;

/** A number as a cell has it; empty for none. */
export const numberCell = (value: number | null | undefined): string =>
  value === null || value === undefined ? '' : String(value);

/** A yes as a cell has it; empty for no. */
export const trueCell = (value: boolean | undefined): string => (value ? 'true' : '');
