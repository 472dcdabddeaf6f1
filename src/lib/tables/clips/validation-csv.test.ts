import { describe, expect, it } from 'vitest';
import { tableFaultWords } from '../csv/table-fault.ts';
import { tableCsv } from '../csv/table-csv.ts';
import { VALIDATION_COLUMNS, type ValidationRow } from './validation-columns.ts';
import { readValidation } from './validation-csv.ts';

const bytes = (...lines: string[]) => new TextEncoder().encode([...lines, ''].join('\n'));
const HEAD = 'checkpoint,bib,draw,seed,drawn_at,live_class,reviewed';

describe('who was drawn for review', () => {
  it('reads back what an export wrote, without those chosen by hand', () => {
    const drawn: ValidationRow = {
      ...{ checkpoint: 'Weir', bib: '17', draw: 1, seed: 4711, drawnAt: '2032-05-12T10:00:00Z' },
      ...{ live: 'midfoot', reviewed: true },
    };
    const byHand = { ...drawn, bib: '18', draw: null, seed: null, drawnAt: '', live: null };
    const coded = { ...drawn, bib: '=19', seed: null };
    const read = readValidation(bytes([...tableCsv(VALIDATION_COLUMNS, [drawn, byHand, coded])].join('').trimEnd()));
    const { reviewed: _reviewed, ...row } = drawn;
    expect(read.ok && read.value).toEqual([row, { ...row, bib: '=19', seed: null }]);
  });

  it('names what is wrong with its place', () => {
    const read = readValidation(
      bytes(
        HEAD,
        'Weir,17,1,,,midfoot,true',
        'Weir,17,1,,,midfoot,true',
        'Weir,18,half,x,,heel,true',
        ',,1,,,midfoot,',
      ),
    );
    expect(read.ok ? [] : read.error.faults.map(tableFaultWords)).toEqual([
      'row 3, column bib: "17" is in draw 1 by row 2 already',
      'row 4, column draw: "half" is not a whole number from 1 on',
      'row 4, column live_class: "heel" is not one of rearfoot, midfoot, forefoot, asymmetric',
      'row 4, column seed: "x" is not a whole number',
      'row 5, column checkpoint: is empty',
      'row 5, column bib: is empty',
    ]);
  });
});
