import { GAITS } from '../../records/foot.ts';
import { CLIP, gaitOf, methodOf } from '../../sightings/seen.ts';
import { type SightingTable } from '../../sightings/sighting-table.ts';
import type { MarkTableColumn } from './mark-cells.ts';
import type { ReadMarks } from './marks-reader.ts';
import type { TableFault } from '../csv/table-fault.ts';

/**
 * Where marks say other things than the sightings they name, each with its row in the marks. A sighting that is not in
 * the table is no fault: its passage has none.
 */
export function marksAgainstSightings(marks: ReadMarks, table: SightingTable, race: string): TableFault[] {
  const faults: TableFault[] = [];
  if (marks.race !== null && marks.race !== race) {
    const row = marks.passageRows[0]!.row;
    faults.push({ row, column: 'race', found: marks.race, expected: `is not the race "${race}" of the sightings` });
  }
  const kmOf = new Map(table.checkpoints.map(({ name, km }) => [name, km]));
  const rowOf = new Map<string, number>();
  const named = new Set(marks.passageRows.map(({ sightingId }) => sightingId));
  for (let row = 0; row < table.size; row += 1) {
    const id = table.recordId(row);
    if (named.has(id)) rowOf.set(id, row);
  }
  for (const mark of marks.passageRows) {
    const say = (column: MarkTableColumn, found: string, expected: string) => {
      faults.push({ row: mark.row, column, ...(found === '' ? {} : { found }), expected });
    };
    const km = kmOf.get(mark.checkpoint);
    if (km !== undefined && km !== mark.km) say('km', String(mark.km), `is not the ${km} km that the sightings have`);
    const at = mark.sightingId === null ? undefined : rowOf.get(mark.sightingId);
    if (at === undefined) continue;
    const seen = table.seen[at]!;
    if (methodOf(seen) !== CLIP) say('sighting_id', mark.sightingId!, 'is not a sighting of method clip');
    const bib = table.bib[at]! < 0 ? '' : table.bibs[table.bib[at]!]!;
    const pairs: [MarkTableColumn, string, string][] = [
      ['bib', mark.bib ?? '', bib],
      ['gait', mark.gait, GAITS[gaitOf(seen)]!],
      ['checkpoint', mark.checkpoint, table.checkpoints[table.checkpoint[at]!]!.name],
      ['observer', mark.observer, table.observers[table.observer[at]!]!],
    ];
    for (const [column, found, held] of pairs) {
      if (found !== held) say(column, found, `is not the "${held}" of its sighting`);
    }
  }
  return faults;
}
