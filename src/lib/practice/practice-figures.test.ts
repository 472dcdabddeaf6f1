import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FOOT_CLASSES, FOOT_VALUES } from '../records/foot.ts';
import type { Answer, KeyItem } from './key-and-answers.ts';
import type { LevelNumber } from './practice-levels.ts';
import { rehearsalScore, type RehearsedSighting } from './rehearsal-score.ts';
import { rehearsalScript } from './rehearsal-script.ts';
import { scoreAnswers } from './score-answers.ts';

/** Paths of numbers that are none. */
function noNumbers(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([name, part]) => noNumbers(part, `${path}.${name}`));
}

const key: KeyItem[] = Array.from({ length: 12 }, (_, i) => ({
  item: `d${String(i)}`,
  class: FOOT_CLASSES[i % 3]!,
  foot: i % 4 === 3 ? null : i % 2 === 0 ? ('near' as const) : ('far' as const),
  rate: 1,
  level: (i % 5 === 4 ? null : 4) as LevelNumber | null,
}));
const answer: fc.Arbitrary<Answer> = fc.record({
  session: fc.constantFrom('s1', 's2'),
  observer: fc.constantFrom('A', 'B'),
  position: fc.nat(40),
  item: fc.constantFrom(...key.map(({ item }) => item)),
  answer: fc.constantFrom(...FOOT_VALUES),
  responseMs: fc.constantFrom(0, 1, 900, 3_600_000),
});
const sighting: fc.Arbitrary<RehearsedSighting> = fc.record({
  bib: fc.constantFrom('1', '2', '3', '99', null),
  gait: fc.constantFrom('run' as const, 'walk' as const),
  left: fc.constantFrom(...FOOT_VALUES),
  right: fc.constantFrom(...FOOT_VALUES),
  passed: fc.boolean(),
  atMs: fc.integer({ min: -5000, max: 200_000 }),
});

describe('figures of practice and rehearsal', () => {
  it('are numbers or null, whatever was answered, with any mix and level', () => {
    const weight = fc.constantFrom(0, 1e-9, 1, 3584);
    const mix = fc.tuple(weight, weight, weight).filter((parts) => parts.some((part) => part > 0));
    fc.assert(
      fc.property(
        fc.array(answer, { maxLength: 60 }),
        mix,
        fc.constantFrom(0.5, 0.95, 0.999),
        (answers, parts, level) => {
          expect(noNumbers(scoreAnswers(answers, key, { mix: parts, level }))).toEqual([]);
        },
      ),
    );
  });

  it('count every runner who passed once, and every sighting', () => {
    const bibs = ['1', '2', '3', '4', '5', '6'];
    const spec = fc.record({
      ...{ seed: fc.nat(), perMinute: fc.constantFrom(1, 20, 150), pack: fc.constantFrom(1, 1.5, 6) },
      ...{ seconds: fc.constantFrom(0, 30, 180), bibs: fc.constant(bibs) },
    });
    fc.assert(
      fc.property(spec, fc.array(sighting, { maxLength: 12 }), fc.boolean(), (given, sightings, ruled) => {
        const script = rehearsalScript(given);
        const isDue = ruled ? ({ bib }: { bib: string }) => bib === '3' : null;
        const score = rehearsalScore(script, sightings, 'left', isDue);
        expect(noNumbers(score)).toEqual([]);
        expect(score.classed + score.partly + score.missed).toBe(score.passed);
        expect(score.classed + score.partly + score.strangers + score.letPass).toBe(sightings.length);
        const { right, wrong, none } = score.bibs;
        expect(right + wrong + none).toBe(score.classed + score.partly);
      }),
    );
  });
});
