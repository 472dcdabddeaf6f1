import { decodeUtf8 } from '../domain/utf8.ts';
import { csvRows } from './csv-rows.ts';
import { unguardCell } from './spreadsheet-guard.ts';
import type { TableFault } from './table-fault.ts';

/** Which tablet a sighting came from, as far as the table has the columns. */
export interface SightingOrigin {
  readonly device: string;
  readonly seq: number | null;
  /** Hub clock minus tablet clock, milliseconds. */
  readonly offsetMs: number | null;
}

/**
 * The columns `device`, `seq` and `offset_ms` of a sightings table, by record id; a row without a device has none. For a
 * table that has been read and found right: nothing else of it is looked at.
 */
export function readSightingOrigins(bytes: Uint8Array): {
  readonly origins: ReadonlyMap<string, SightingOrigin>;
  readonly faults: readonly TableFault[];
} {
  const text = (decodeUtf8(bytes, 0, bytes.length) ?? '').replace(/^\ufeff/, '').replaceAll('\r\n', '\n');
  const origins = new Map<string, SightingOrigin>();
  const faults: TableFault[] = [];
  let columns: Record<'record_id' | 'device' | 'seq' | 'offset_ms', number> | null = null;
  let row = 0;
  for (const { rows } of csvRows(text, ',')) {
    for (const cells of rows) {
      row += 1;
      if (!columns) {
        const at = (name: string) => cells.findIndex((cell) => cell.trim() === name);
        columns = { record_id: at('record_id'), device: at('device'), seq: at('seq'), offset_ms: at('offset_ms') };
        if (columns.device < 0) return { origins, faults };
        continue;
      }
      const cell = (column: number) => (column < 0 ? '' : unguardCell((cells[column] ?? '').trim()));
      const device = cell(columns.device);
      if (device === '') continue;
      const [seq, offset] = [cell(columns.seq), cell(columns.offset_ms)];
      if (seq !== '' && !/^[1-9]\d*$/.test(seq)) {
        faults.push({ row, column: 'seq', found: seq, expected: 'is not a whole number from 1' });
      }
      if (offset !== '' && !/^-?\d+(?:\.\d+)?$/.test(offset)) {
        faults.push({ row, column: 'offset_ms', found: offset, expected: 'is not a number of milliseconds' });
      }
      origins.set(cell(columns.record_id), {
        device,
        seq: seq === '' ? null : Number(seq),
        offsetMs: offset === '' ? null : Number(offset),
      });
    }
  }
  return { origins, faults };
}
