import { describe, expect, test } from 'vitest';
import type { Sighting, TallyRecord } from '../../records/record.ts';
import { ShownRecords } from './shown-records.svelte.ts';

const common = (seq: number) => ({
  ...{ id: `id-${seq}`, race: 'race', observer: 'A', device: 'tablet', seq },
  madeAt: '2026-10-04T07:30:00.000Z',
});

function sighting(seq: number): Sighting {
  return {
    ...common(seq),
    ...{ kind: 'sighting', checkpoint: 'k5', bib: String(seq), left: 'midfoot', right: 'midfoot', method: 'live' },
    observedAt: '2026-10-04T07:30:00.000Z',
  };
}

const withdrawal = (seq: number, target: string): TallyRecord => ({ ...common(seq), kind: 'withdrawal', target });
const countsTo = (lastSeq: number) => ({ lastSeq, tallied: lastSeq, waiting: 0, savedSeq: 0, pulled: 0 });
const bibs = (shown: ShownRecords) => shown.recent.map(({ bib }) => bib);

/** What is shown after records 1 to `count` were kept here. */
function afterKept(count: number): ShownRecords {
  const shown = new ShownRecords();
  for (let seq = 1; seq <= count; seq += 1) shown.showKept({ record: sighting(seq), counts: countsTo(seq) });
  return shown;
}

describe('ShownRecords', () => {
  test('shows the last five that were kept, newest first, each once', () => {
    const shown = afterKept(7);
    expect(bibs(shown)).toEqual(['7', '6', '5', '4', '3']);
    expect([shown.lastKept?.bib, shown.counts.lastSeq]).toEqual(['7', 7]);
    shown.showKept({ record: sighting(7), counts: countsTo(7) });
    expect(bibs(shown)).toEqual(['7', '6', '5', '4', '3']);
  });

  test('shows of a reading what stands', () => {
    const shown = new ShownRecords();
    const records = [...[1, 2, 3, 4, 5, 6, 7].map(sighting), withdrawal(8, 'id-6')];
    expect(shown.showReading(shown.beginReading(), countsTo(8), records)).toBe(true);
    expect(bibs(shown)).toEqual(['7', '5', '4', '3', '2']);
  });

  test('lets no older reading or record overwrite a newer reading', () => {
    const shown = new ShownRecords();
    const [first, second] = [shown.beginReading(), shown.beginReading()];
    expect(shown.showReading(second, countsTo(2), [sighting(1), sighting(2)])).toBe(true);
    expect(shown.showReading(first, countsTo(1), [sighting(1)])).toBe(false);
    expect([bibs(shown), shown.counts.lastSeq]).toEqual([['2', '1'], 2]);
    shown.showKept({ record: sighting(1), counts: countsTo(1) });
    expect([bibs(shown), shown.counts.lastSeq]).toEqual([['2', '1'], 2]);
  });

  test('gives back what was taken back once its withdrawal is written, and only until the next sighting', () => {
    const shown = afterKept(3);
    const [last] = shown.recent;
    shown.takeBack(last!);
    expect([bibs(shown), shown.takenBack?.bib]).toEqual([['2', '1'], '3']);
    expect(shown.redo()).toBeUndefined();
    expect(shown.takenBack).toBe(last);
    shown.showKept({ record: withdrawal(4, 'id-1'), counts: countsTo(4) });
    expect(shown.redo()).toBeUndefined();
    shown.showKept({ record: withdrawal(5, 'id-3'), counts: countsTo(5) });
    expect(shown.lastKept).toBeUndefined();
    expect(shown.redo()).toEqual({ withdrawal: 'id-5', sighting: last });
    expect(shown.takenBack).toBeUndefined();

    const other = afterKept(3);
    other.takeBack(other.recent[0]!);
    other.showKept({ record: withdrawal(4, 'id-3'), counts: countsTo(4) });
    other.showKept({ record: sighting(5), counts: countsTo(5) });
    expect([other.takenBack, other.redo()]).toEqual([undefined, undefined]);
  });
});
