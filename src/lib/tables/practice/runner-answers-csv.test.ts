import { describe, expect, it } from 'vitest';
import { readRunnerAnswers } from './runner-answers-csv.ts';
import { tableFaultWords } from '../csv/table-fault.ts';

const HEAD = 'item,observer,key_left,key_right,left,right,note';
const read = (...rows: string[]) => readRunnerAnswers(new TextEncoder().encode([HEAD, ...rows, ''].join('\n')));
const faultsOf = (...rows: string[]): string[] => {
  const result = read(...rows);
  return result.ok ? [] : result.error.faults.map(tableFaultWords);
};

describe('a practice set with a key', () => {
  it('is read by its headings; other columns are ignored, blanks at the ends do not count', () => {
    const result = read('c1, T1 ,rearfoot,midfoot,rearfoot,unseen,x');
    expect(result.ok && result.value).toEqual([
      { item: 'c1', observer: 'T1', keyLeft: 'rearfoot', keyRight: 'midfoot', left: 'rearfoot', right: 'unseen' },
    ]);
  });

  it('names an item with two keys and an item answered twice, with the row that was first', () => {
    expect(faultsOf('c1,T1,rearfoot,rearfoot,rearfoot,rearfoot,', 'c1,T2,rearfoot,midfoot,rearfoot,rearfoot,')).toEqual(
      ['row 3, column item: "c1" has another key (rearfoot, rearfoot) in row 2: an item has one key'],
    );
    expect(faultsOf('c1,T1,rearfoot,rearfoot,rearfoot,rearfoot,', 'c1,T1,rearfoot,rearfoot,midfoot,midfoot,')).toEqual([
      'row 3, column item: "c1" was answered by T1 in row 2 already',
    ]);
  });

  it('names values that are none, empty cells and missing columns', () => {
    expect(faultsOf('c1,T1,unseen,rearfoot,toe,rearfoot,')).toEqual([
      'row 2, column key_left: "unseen" is not one of rearfoot, midfoot, forefoot',
      'row 2, column left: "toe" is not one of rearfoot, midfoot, forefoot, unseen',
    ]);
    expect(faultsOf(',,rearfoot,rearfoot,rearfoot,rearfoot,')).toEqual([
      'row 2, column item: is empty',
      'row 2, column observer: is empty',
    ]);
    const bare = readRunnerAnswers(new TextEncoder().encode('item,observer\nc1,T1\n'));
    expect(!bare.ok && bare.error.faultCount).toBe(4);
  });
});
