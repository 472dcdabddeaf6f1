import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareCodePoints } from '../records/code-point-order.ts';
import { CLIP, gaitOf, leftOf, methodOf, packSeen, rightOf } from './seen.ts';
import { SightingTableBuilder, type SightingEntry } from './sighting-table.ts';
import { TextDictionary } from './text-dictionary.ts';

const entry = (change: Partial<SightingEntry> = {}): SightingEntry => ({
  recordId: 'r1',
  checkpoint: 'Mill',
  km: 5,
  bib: '7',
  gait: 'run',
  left: 'rearfoot',
  right: 'midfoot',
  observer: 'K',
  method: 'live',
  observedAtMs: 1000,
  ...change,
});

describe('TextDictionary', () => {
  it('gives equal texts one number and keeps every text, in any script', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'grapheme' })), (texts) => {
        const dictionary = new TextDictionary();
        const codes = texts.map((text) => dictionary.codeOfText(text));
        expect(dictionary.size).toBe(new Set(texts).size);
        expect(codes.map((code) => dictionary.text(code))).toEqual(texts);
        for (const a of codes) {
          const order = dictionary.compare(a, codes[0]!);
          expect(Math.sign(order)).toBe(Math.sign(compareCodePoints(dictionary.text(a), texts[0]!)));
        }
      }),
    );
  });

  it('grows past its first size', () => {
    const dictionary = new TextDictionary();
    for (let i = 0; i < 5000; i += 1) expect(dictionary.codeOfText(`text ${i}`)).toBe(i);
    for (let i = 0; i < 5000; i += 1) expect(dictionary.codeOfText(`text ${i}`)).toBe(i);
  });
});

describe('SightingTableBuilder', () => {
  it('packs what was seen and unpacks it', () => {
    for (let left = 0; left < 4; left += 1)
      for (let right = 0; right < 4; right += 1)
        for (let gait = 0; gait < 2; gait += 1)
          for (let method = 0; method < 3; method += 1) {
            const seen = packSeen(left, right, gait, method);
            expect([leftOf(seen), rightOf(seen), gaitOf(seen), methodOf(seen)]).toEqual([left, right, gait, method]);
          }
  });

  it('sorts checkpoints by km, then code point, and bibs and observers by code point', () => {
    const builder = new SightingTableBuilder();
    builder.add(entry({ recordId: '1', checkpoint: 'b', km: 10, bib: 'a', observer: 'a' }));
    builder.add(entry({ recordId: '2', checkpoint: '\u{1f3c3}', km: 2, bib: '\u{1f3c3}', observer: 'A1' }));
    builder.add(entry({ recordId: '3', checkpoint: '\uffee', km: 2, bib: ' 007\u00a0', observer: 'A (x)' }));
    const table = builder.build();
    expect(table.checkpoints.map((c) => c.name)).toEqual(['\uffee', '\u{1f3c3}', 'b']);
    expect(table.bibs).toEqual(['007', 'a', '\u{1f3c3}']);
    expect(table.observers).toEqual(['A (x)', 'A1', 'a']);
    expect([...table.checkpoint]).toEqual([2, 1, 0]);
    expect([...table.bib]).toEqual([1, 2, 0]);
    expect([...table.observer]).toEqual([2, 1, 0]);
    expect(table.recordId(2)).toBe('3');
  });

  it('counts one record for the same content and refuses other content or another km', () => {
    const builder = new SightingTableBuilder();
    expect(builder.add(entry())).toBe('added');
    expect(builder.add(entry())).toBe('same-record');
    expect(builder.add(entry({ bib: ' 7 ' }))).toBe('same-record');
    const others: Partial<SightingEntry>[] = [
      { left: 'midfoot' },
      { right: 'unseen' },
      { bib: '8' },
      { bib: null },
      { observer: 'L' },
      { method: 'clip' },
      { observedAtMs: 1001 },
      { note: 'wet' },
      { checkpoint: 'Weir' },
    ];
    for (const change of others) expect(builder.add(entry(change))).toBe('other-content');
    expect(builder.add(entry({ recordId: 'r2', km: 6 }))).toBe('other-km');
    const table = builder.build();
    expect(table.size).toBe(1);
    expect(table.sameRecord).toBe(2);
    // Texts that only refused entries had are not in the table.
    expect(table.bibs).toEqual(['7']);
    expect(table.checkpoints).toEqual([{ name: 'Mill', km: 5 }]);
  });

  it('holds more rows than it first had room for', () => {
    const builder = new SightingTableBuilder();
    for (let i = 0; i < 1000; i += 1) builder.add(entry({ recordId: `r${i}`, bib: `${i % 10}`, method: 'clip' }));
    const table = builder.build();
    expect(table.size).toBe(1000);
    expect(methodOf(table.seen[999]!)).toBe(CLIP);
    expect(table.bibs[table.bib[999]!]).toBe('9');
  });

  it('throws on a km or an instant that is no number', () => {
    expect(() => new SightingTableBuilder().add(entry({ km: Number.NaN }))).toThrow(RangeError);
    expect(() => new SightingTableBuilder().add(entry({ observedAtMs: Number.NaN }))).toThrow(RangeError);
  });
});
