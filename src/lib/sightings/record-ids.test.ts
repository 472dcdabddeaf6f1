import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareCodePoints } from '../records/code-point-order.ts';
import { allDiffer, RecordIds } from './record-ids.ts';

const uuids = fc.array(fc.uuid(), { minLength: 1, maxLength: 200 });

describe('RecordIds', () => {
  it('gives equal ids one number, keeps every id and their order, whether they are UUIDs or not', () => {
    const ids = fc.array(fc.oneof({ weight: 9, arbitrary: fc.uuid() }, fc.string(), fc.constant('A'.repeat(36))));
    fc.assert(
      fc.property(ids, fc.nat(), (some, at) => {
        const all = [...some, ...some.slice(at % (some.length + 1))];
        const dictionary = new RecordIds();
        const codes = all.map((id) => dictionary.codeOfText(id));
        expect(dictionary.size).toBe(new Set(all).size);
        expect(codes.map((code) => dictionary.text(code))).toEqual(all);
        for (const [i, code] of codes.entries()) {
          expect(Math.sign(dictionary.compare(code, codes[0]!))).toBe(Math.sign(compareCodePoints(all[i]!, all[0]!)));
        }
      }),
    );
  });

  it('grows past its first size, in any order', () => {
    const id = (i: number) =>
      `0197${(i % 100).toString(16).padStart(4, '0')}-0000-7000-8000-${String(i).padStart(12, '0')}`;
    const dictionary = new RecordIds();
    for (let i = 0; i < 5000; i += 1) expect(dictionary.codeOfText(id(i))).toBe(i);
    for (let i = 0; i < 5000; i += 1) expect(dictionary.codeOfText(id(i))).toBe(i);
  });

  it('takes only lower-case UUIDs for UUIDs', () => {
    const bytes = (text: string) => new TextEncoder().encode(text);
    const id = '01970001-0001-7000-8000-00000000000f';
    expect(new RecordIds().isUuid(bytes(id), 0)).toBe(true);
    for (let at = 0; at < id.length; at += 1) {
      for (const other of ['g', 'F', ',', '"', '\u007f']) {
        expect(new RecordIds().isUuid(bytes(id.slice(0, at) + other + id.slice(at + 1)), 0)).toBe(false);
      }
    }
  });

  it('tells whether ids that were not looked up all differ', () => {
    fc.assert(
      fc.property(uuids, uuids, (first, second) => {
        const [one, other] = [new RecordIds(true), new RecordIds(true)];
        first.forEach((id) => one.codeOfText(id));
        second.forEach((id) => other.codeOfText(id));
        one.append(other.words()!);
        const all = [...first, ...second];
        expect(allDiffer(one.words()!)).toBe(new Set(all).size === all.length);
        expect(all.map((_, code) => one.text(code))).toEqual(all);
      }),
    );
  });
});
