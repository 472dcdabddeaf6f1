import { shownText } from './shown-text.ts';

/** Something wrong at one place of a table. */
export interface TableFault {
  /** Counted as a spreadsheet counts: the first row of the file is 1. Not there when the fault is of the whole file. */
  row?: number;
  /** The heading as it stands in the file, or the name of the field that is missing. */
  column?: string;
  /** What stands there. */
  found?: string;
  expected: string;
}

/** One line for a person: `row 17, column Time: "1:75:00" is not …`. */
export function tableFaultWords(fault: TableFault): string {
  const place = [
    fault.row === undefined ? '' : `row ${fault.row}`,
    fault.column === undefined ? '' : `column ${fault.column}`,
  ]
    .filter(Boolean)
    .join(', ');
  const what = fault.found === undefined ? fault.expected : `"${shownText(fault.found)}" ${fault.expected}`;
  return place ? `${place}: ${what}` : what;
}
