import type { Column, Columns, Treatment } from './column.ts';

const GUARD =
  'Free text that a spreadsheet program would take for a formula (it begins with =, +, -, @, a tab or a line end), or that begins with an apostrophe, has one apostrophe put in front. Take that one apostrophe off to have the text as it was.';
const EMPTIED = 'Empty here: it could name a person.';

/** A column as a Table Schema describes it. */
export interface SchemaField {
  readonly name: string;
  readonly type: Column<never>['type'];
  readonly description: string;
  readonly constraints?: Column<never>['constraints'];
}

/** The fields of a table, for the data dictionary. */
export function schemaFields(columns: Columns<never>, treatment: Treatment): SchemaField[] {
  return Object.entries(columns).map(([name, { type, description, constraints, freeText, names }]) => ({
    name,
    type,
    description: [
      typeof description === 'string' ? description : description(treatment),
      ...(treatment.coded && names === 'person' ? [EMPTIED] : freeText ? [GUARD] : []),
    ]
      .filter(Boolean)
      .join(' '),
    ...(constraints ? { constraints } : {}),
  }));
}
