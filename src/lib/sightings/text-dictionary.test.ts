import fc from 'fast-check';
import { expect, it } from 'vitest';
import { TextDictionary } from './text-dictionary.ts';

/** Texts in any order, in ascending order, and ascending up to a point. */
const streams = fc
  .tuple(fc.array(fc.string({ maxLength: 9 }), { maxLength: 300 }), fc.constantFrom('any', 'ascending', 'then any'))
  .map(([texts, order]) => {
    const sorted = [...texts].sort((a, b) => Buffer.compare(Buffer.from(a), Buffer.from(b)));
    return order === 'any' ? texts : order === 'ascending' ? sorted : [...sorted, ...texts];
  });

it('numbers texts in the order in which they are first met, whatever the order', () => {
  fc.assert(
    fc.property(streams, (texts) => {
      const dictionary = new TextDictionary();
      const numbers = new Map<string, number>();
      for (const text of texts) {
        if (!numbers.has(text)) numbers.set(text, numbers.size);
        expect(dictionary.codeOfText(text)).toBe(numbers.get(text));
      }
      expect(dictionary.texts()).toEqual([...numbers.keys()]);
    }),
    { numRuns: 100 },
  );
});

it('keeps many texts apart', () => {
  const dictionary = new TextDictionary();
  const texts = Array.from({ length: 20_000 }, (_, i) => `0197${((i * 7919) % 20_011).toString(16)}-7000-8000`);
  expect(new Set(texts.map((text) => dictionary.codeOfText(text))).size).toBe(20_000);
  expect(texts.every((text, i) => dictionary.codeOfText(text) === i)).toBe(true);
});

it('orders texts as their bytes are ordered, few or many, short or long', () => {
  const texts = fc.uniqueArray(fc.string({ unit: 'binary', maxLength: 6 }), { minLength: 200, maxLength: 600 });
  fc.assert(
    fc.property(texts, fc.constantFrom([], ['a text that is longer than most bibs are']), (short, long) => {
      const all = [...short, ...long];
      const dictionary = new TextDictionary();
      for (const text of all) dictionary.codeOfText(text);
      const wanted = all.map((text) => Buffer.from(text)).sort((a, b) => Buffer.compare(a, b));
      expect(Array.from(dictionary.order(), (code) => dictionary.text(code))).toEqual(wanted.map(String));
    }),
    { numRuns: 20 },
  );
});
