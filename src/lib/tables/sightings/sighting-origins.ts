import { TextDictionary } from '../../sightings/text-dictionary.ts';
import type { CsvScanner } from '../csv/csv-scanner.ts';
import { unguardCell, unguardedStart } from '../csv/spreadsheet-guard.ts';
import type { TableFault } from '../csv/table-fault.ts';

/** Which tablet a sighting came from, as far as the table has the columns. */
export interface SightingOrigin {
  readonly device: string;
  readonly seq: number | null;
  /** Hub clock minus tablet clock, milliseconds. */
  readonly offsetMs: number | null;
}

const NOT_THERE = -1;
const FORMS = {
  seq: { form: /^[1-9]\d*$/, expected: 'is not a whole number from 1' },
  offset_ms: { form: /^-?\d+(?:\.\d+)?$/, expected: 'is not a number of milliseconds' },
} as const;

/**
 * The columns `device`, `seq` and `offset_ms` of a sightings table. Handed to a `SightingsReader`, it is filled while the
 * sightings are read; a row without a device has no origin.
 */
export class SightingOrigins {
  readonly #devices = new TextDictionary();
  readonly #device: number[] = [];
  readonly #seq: number[] = [];
  readonly #offsetMs: number[] = [];
  #places = { device: NOT_THERE, seq: NOT_THERE, offset_ms: NOT_THERE };

  /** The origin of a row of the table that was read. */
  of(row: number): SightingOrigin | undefined {
    const device = this.#device[row] ?? NOT_THERE;
    if (device === NOT_THERE) return undefined;
    const known = (value: number) => (Number.isNaN(value) ? null : value);
    return {
      device: this.#devices.text(device),
      seq: known(this.#seq[row]!),
      offsetMs: known(this.#offsetMs[row]!),
    };
  }

  takeHeadings(headings: readonly string[]): void {
    const at = (name: string) => headings.indexOf(name);
    this.#places = { device: at('device'), seq: at('seq'), offset_ms: at('offset_ms') };
  }

  /** Takes the cells that belong to `row` of the table. */
  take(row: number, scanner: CsvScanner, fault: (fault: TableFault) => void): void {
    const cell = this.#places.device;
    if (cell === NOT_THERE) return;
    const { bytes, from, to } = scanner;
    const start = unguardedStart(bytes, from[cell]!, to[cell]!);
    const there = start < to[cell]!;
    this.#device[row] = there ? this.#devices.codeOf(bytes, start, to[cell]!) : NOT_THERE;
    this.#seq[row] = there ? this.#number('seq', scanner, fault) : Number.NaN;
    this.#offsetMs[row] = there ? this.#number('offset_ms', scanner, fault) : Number.NaN;
  }

  /** The number in a cell of the row in work, NaN for none. */
  #number(column: keyof typeof FORMS, scanner: CsvScanner, fault: (fault: TableFault) => void): number {
    const cell = this.#places[column];
    if (cell === NOT_THERE || scanner.from[cell] === scanner.to[cell]) return Number.NaN;
    const found = scanner.lenientText(cell).trim();
    const text = unguardCell(found);
    if (text === '') return Number.NaN;
    const { form, expected } = FORMS[column];
    if (!form.test(text)) fault({ row: scanner.row, column, found, expected });
    return Number(text);
  }
}
