import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demoRace } from '../demo/demo-race.ts';
import { FOOT_VALUES } from '../records/foot.ts';
import { viewOfRace } from '../sightings/race-view.ts';
import { normalDraw, seededRandom } from '../records/seeded-random.ts';
import { DISPUTED, runnerClasses } from '../sightings/runner-classes.ts';
import { SightingTableBuilder } from '../sightings/sighting-table.ts';
import { usedSightings } from '../sightings/used-sightings.ts';
import { EMPTY_CHECK_INPUT, type CheckInput, type CheckSighting } from './input/check-input.ts';
import { checkRace } from './check-race.ts';
import type { Doubt } from './doubt.ts';
import { inputOfRecords } from './input/input-of-records.ts';

const START = Date.UTC(2026, 9, 4, 7);
const CHECKPOINTS = [
  { id: 'a', name: 'Old Pier', km: 10 },
  { id: 'b', name: 'Quarry Hill', km: 32 },
];

let made = 0;
function sighting(
  bib: string | null,
  checkpoint: number,
  minutes: number,
  more: Partial<CheckSighting> = {},
): CheckSighting {
  made += 1;
  return {
    ...{ id: `r${String(made).padStart(6, '0')}`, checkpoint, bib, gait: 'run', left: 'rearfoot', right: 'rearfoot' },
    ...{ observer: `N${checkpoint}`, method: 'live', atMs: START + minutes * 60_000 },
    ...more,
  };
}

/** Sixty plain runners seen at both places, 5 to 7 minutes a kilometre, four to a pace. */
function plainField(): CheckSighting[] {
  return Array.from({ length: 60 }, (_, i) => {
    const pace = 5 + i / 30;
    const bib = String(2000 + 100 * (i % 60));
    return [sighting(bib, 0, 10 * pace), sighting(bib, 1, 32 * pace * (1.02 + (i % 5) / 200))];
  }).flat();
}

function input(sightings: readonly CheckSighting[], more: Partial<CheckInput> = {}): CheckInput {
  const bibs = new Set(sightings.flatMap((s) => (s.bib === null ? [] : [s.bib])));
  return {
    ...EMPTY_CHECK_INPUT,
    checkpoints: CHECKPOINTS,
    sightings,
    startList: [...bibs].map((bib) => ({ bib })),
    startMs: START,
    ...more,
  };
}
const about = (doubts: readonly Doubt[], bib: string) => doubts.filter((d) => d.bib === bib);

describe('the doubts of a race', () => {
  it('finds nothing in a clean field', () => {
    expect(checkRace(input(plainField()))).toEqual([]);
    // Another day in the set-up: one doubt, the cause.
    const wrongDay = checkRace(input(plainField(), { startMs: START - 7 * 86_400_000 }));
    expect(wrongDay.map(({ facts }) => facts)).toMatchObject([{ type: 'wrong-start', sightings: 120, of: 120 }]);
    // Let pass by the sampling rule and classed by another, or a second time: nobody disagrees, nothing is double.
    const field = plainField();
    const { atMs, bib } = field[0]!;
    const letPass = { left: 'unseen', right: 'unseen', passed: true } as const;
    const seen = ['N0', 'N9'].map((observer, i) => sighting(bib, 0, 0, { ...letPass, observer, atMs: atMs + i * 900 }));
    expect(checkRace(input([...field, ...seen]))).toEqual([]);
    // A time estimated from paper says nothing against a runner.
    const paper = sighting('2000', 1, 1, { observer: 'N8', timeEstimated: true });
    expect(checkRace(input([...plainField(), paper])).filter(({ kind }) => kind === 'time')).toEqual([]);
    expect(checkRace(EMPTY_CHECK_INPUT)).toEqual([]);
  });

  it('finds the five things planted in the demo race, and nothing else', () => {
    const demo = demoRace();
    const doubts = checkRace(
      inputOfRecords(viewOfRace(demo.race, demo.records), {
        ...{ startList: demo.startList, results: demo.results },
      }),
    );
    const { misread, swapped, dispute, clock, double } = demo.plants;
    expect(doubts).toHaveLength(5);
    for (const plant of [misread, swapped]) {
      const [doubt] = about(doubts, plant.written);
      expect(doubt).toMatchObject({ kind: 'unlisted', records: [plant.record] });
      expect(doubt?.candidates[0]?.bib).toBe(plant.right);
      expect(doubt?.proposal).toMatchObject([{ kind: 'correction', target: plant.record, bib: plant.right }]);
    }
    expect(about(doubts, dispute.bib)[0]).toMatchObject({ kind: 'disputed' });
    expect([...about(doubts, dispute.bib)[0]!.records].sort()).toEqual([...dispute.records].sort());
    const off = doubts.find((d) => d.facts.type === 'clock');
    expect(off).toMatchObject({ kind: 'time', facts: { device: clock.device, observer: clock.observer } });
    expect(off?.facts.type === 'clock' && off.facts.aheadSeconds).toBeCloseTo(clock.aheadMs / 1000, 0);
    expect(about(doubts, double.bib)[0]).toMatchObject({ kind: 'double' });
    expect([...about(doubts, double.bib)[0]!.records].sort()).toEqual([...double.records].sort());
    // The latest entry is the one in the figures: it stays.
    expect(about(doubts, double.bib)[0]?.proposal).toMatchObject([{ kind: 'withdrawal', target: double.records[0] }]);
  });

  it('finds a later checkpoint before an earlier one, and a pace no human runs', () => {
    const early = sighting('1111', 0, 60);
    const late = sighting('1111', 1, 50);
    const fast = [sighting('1212', 0, 40), sighting('1212', 1, 85)];
    const doubts = checkRace(input([...plainField(), early, late, ...fast]));
    expect(about(doubts, '1111')[0]).toMatchObject({ kind: 'time', facts: { type: 'backwards' } });
    expect([...about(doubts, '1111')[0]!.records].sort()).toEqual([early.id, late.id]);
    // 22 km in 45 minutes is faster than the best half marathon.
    expect(about(doubts, '1212')[0]).toMatchObject({ kind: 'time', facts: { type: 'too-fast' } });
  });

  it('finds a runner far slower than the field, and one before the start or after the finish', () => {
    const slow = [sighting('1111', 0, 55), sighting('1111', 1, 500)];
    const early = [sighting('1212', 0, 12)];
    const finished = [sighting('1313', 0, 55), sighting('1313', 1, 190)];
    const field = plainField();
    const all = [...field, ...slow, ...early, ...finished];
    const results = [...new Set(all.map((s) => s.bib!))].map((bib) => {
      const late = all.find((s) => s.bib === bib && s.checkpoint === 1);
      return { bib, finishSeconds: late ? ((late.atMs - START) / 1000) * 1.33 : 4 * 3600 };
    });
    const doubts = checkRace(
      input(all, {
        results: results.map((r) => (r.bib === '1313' ? { ...r, finishSeconds: 150 * 60 } : r)),
        finishClock: 'gun',
        raceKm: 42.195,
      }),
    );
    expect(about(doubts, '1111')[0]).toMatchObject({ kind: 'time', facts: { type: 'too-slow' } });
    expect(about(doubts, '1212')[0]).toMatchObject({ kind: 'time', facts: { type: 'before-start' } });
    expect(about(doubts, '1313')[0]).toMatchObject({ kind: 'time', facts: { type: 'after-finish' } });
  });

  it('takes the measured offset of a tablet out before it judges', () => {
    const field = plainField().map((s) => ({ ...s, device: `T${s.checkpoint}` }));
    const wrong = field.map((s) => (s.checkpoint === 0 ? { ...s, atMs: s.atMs + 5 * 3600_000 } : s));
    expect(checkRace(input(wrong, { offsetsMs: new Map([['T0', -5 * 3600_000]]) }))).toEqual([]);
    const unmeasured = checkRace(input(wrong));
    expect(unmeasured).toMatchObject([{ kind: 'time', facts: { type: 'clock', device: 'T0' } }]);
  });

  it('holds against a candidate that this observer has it already, in whatever order the records stand', () => {
    // 1259 was entered by both observers; N0 alone had no 1350, and wrote 1359 when 1259 came by for the other.
    const field = [...plainField(), sighting('1350', 1, 195)];
    const own = sighting('1259', 0, 57);
    const others = sighting('1259', 0, 60, { observer: 'M0' });
    const odd = sighting('1359', 0, 60);
    const startList = [...new Set(field.map((s) => s.bib!)), '1259'].map((bib) => ({ bib }));
    for (const seen of [
      [own, others],
      [others, own],
    ]) {
      const [doubt] = about(checkRace(input([...field, ...seen, odd], { startList })), '1359');
      expect(doubt?.candidates[0]?.bib).toBe('1350');
    }
  });

  it('takes the same bib at another km of a lapped course for no double', () => {
    const laps = [2, 4, 6].map((km) => ({ id: `k${km}`, name: `Lap ${km / 2}`, km }));
    const field = Array.from({ length: 40 }, (_, i) =>
      laps.map(({ km }, lap) => sighting(String(500 + 7 * i), lap, km * (5 + i / 20), { observer: 'N1' })),
    ).flat();
    expect(checkRace(input(field, { checkpoints: laps }))).toEqual([]);
  });

  it('does not let a misreading of a listed bib replace the right runner’s sighting', () => {
    // 2008 is seen at 52 min; at 66 min the same observer writes 2008 for 2003, who was seen late at that pace.
    const field = plainField().filter((s) => s.bib !== '2008' && s.bib !== '2003');
    const right = sighting('2008', 0, 52, { left: 'midfoot', right: 'midfoot' });
    const wrong = sighting('2008', 0, 66);
    const late = [sighting('2008', 1, 32 * 5.2 * 1.03), sighting('2003', 1, 32 * 6.6 * 1.03)];
    const [doubt, ...others] = checkRace(input([...field, right, wrong, ...late]));
    expect(others).toEqual([]);
    expect(doubt).toMatchObject({ kind: 'double', bib: '2008' });
    expect(doubt?.candidates[0]).toMatchObject({ bib: '2003', records: [wrong.id] });
    expect(doubt?.proposal).toMatchObject([{ kind: 'correction', target: wrong.id, bib: '2003' }]);
  });

  it('proposes to keep the latest of two entries only when they are a slip of the hand', () => {
    const field = plainField();
    const right = field.find((s) => s.bib === '5000' && s.checkpoint === 0)!;
    const slip = { ...right, id: 'slip', atMs: right.atMs + 3000 };
    expect(checkRace(input([...field, slip]))[0]?.proposal).toMatchObject([{ kind: 'withdrawal', target: right.id }]);
    const later = {
      ...right,
      id: 'later',
      atMs: right.atMs + 12 * 60_000,
      left: 'forefoot',
      right: 'forefoot',
    } as const;
    const [doubt] = about(checkRace(input([...field, later], { startList: [{ bib: '5000' }] })), '5000');
    expect(doubt).toMatchObject({ kind: 'double', records: ['later', right.id] });
    expect(doubt?.proposal).toMatchObject([{ kind: 'correction', target: 'later', bib: null }]);
  });

  it('gives a listed bib without a result candidates', () => {
    const field = plainField();
    const wrong = sighting('8000', 0, 58);
    const late = sighting('3000', 1, 32 * 5.8 * 1.03);
    const all = [...field.filter((s) => s.bib !== '3000' && s.bib !== '8000'), wrong, late];
    const bibs = [...new Set(all.map((s) => s.bib!))];
    const results = bibs.map((bib) => {
      const last = all.find((s) => s.bib === bib && s.checkpoint === 1);
      return { bib, finishSeconds: last ? ((last.atMs - START) / 1000) * 1.34 : null };
    });
    const [doubt] = about(checkRace(input(all, { results, raceKm: 42.195, finishClock: 'gun' })), '8000');
    expect(doubt).toMatchObject({ kind: 'time', facts: { type: 'no-result' } });
    expect(doubt?.candidates[0]).toMatchObject({ bib: '3000', records: [wrong.id] });
  });

  it('judges a handful of sightings too, with and without a start', () => {
    const few = [sighting('512', 0, 55), sighting('88', 0, 50)];
    const backwards = checkRace(input([...few, sighting('1734', 0, 60), sighting('1734', 1, 50)], { startMs: null }));
    expect(backwards).toMatchObject([{ kind: 'time', bib: '1734', facts: { type: 'backwards' } }]);
    const tooFast = checkRace(input([...few, sighting('1734', 0, 60), sighting('1734', 1, 90)], { startMs: null }));
    expect(tooFast).toMatchObject([{ kind: 'time', bib: '1734', facts: { type: 'too-fast' } }]);
    const finished = checkRace(
      input([...few, sighting('1734', 0, 60), sighting('1734', 1, 200)], {
        results: [
          { bib: '1734', finishSeconds: 195 * 60 },
          { bib: '512', finishSeconds: 230 * 60 },
          { bib: '88', finishSeconds: 210 * 60 },
        ],
      }),
    );
    expect(finished).toMatchObject([{ kind: 'time', bib: '1734', facts: { type: 'after-finish' } }]);
  });

  it('does not take those who fall apart for misreadings, nor net times of late waves for early ones', () => {
    const random = seededRandom(11);
    const results: { bib: string; finishSeconds: number }[] = [];
    const field = Array.from({ length: 1500 }, (_, i) => {
      const bib = String(1000 + 3 * i);
      const pace = 5.6 * Math.exp(0.16 * normalDraw(random, 0, 1));
      const wave = 20 * random();
      // One in seven loses up to half their speed: far more than a normal distribution has.
      const slowing = 1 + 0.04 * random() + (random() < 0.15 ? 0.5 * random() ** 2 : 0);
      results.push({ bib, finishSeconds: 60 * 33.5 * pace * slowing });
      return [sighting(bib, 0, wave + 10 * pace), sighting(bib, 1, wave + 32 * pace * slowing)];
    }).flat();
    for (const finishClock of [null, 'net'] as const) {
      const doubts = checkRace(input(field, { results, finishClock, raceKm: 33.5 }));
      expect(doubts.length).toBeLessThan(8);
    }
  });

  it('finds two runners whose feet one observer exchanged, and proposes to put both right', () => {
    const forefoot = { left: 'forefoot', right: 'forefoot' } as const;
    const one = [sighting('2100', 0, 60), sighting('2200', 0, 60.1, forefoot)];
    const two = [sighting('2100', 0, 60, { observer: 'M', ...forefoot }), sighting('2200', 0, 60.1, { observer: 'M' })];
    const doubts = checkRace(input([...one, ...two]));
    expect(doubts).toMatchObject([{ kind: 'disputed', bib: '2100', facts: { type: 'swapped', other: '2200' } }]);
    expect(doubts[0]?.proposal).toHaveLength(2);
  });

  it('finds holes in the counting, long silences, and observers who have not handed in', () => {
    const field = plainField().filter(
      (s) => s.checkpoint === 1 || s.atMs < START + 56 * 60_000 || s.atMs > START + 64 * 60_000,
    );
    const doubts = checkRace(
      input(field, {
        devices: [{ device: 'T1', observer: 'N0', seqs: [1, 2, 5, 6], lastSeq: 8 }],
        posts: [
          { observer: 'N0', checkpoint: 0 },
          { observer: 'N9', checkpoint: 1 },
        ],
      }),
    );
    expect(doubts.map((d) => [d.kind, d.facts.type])).toEqual([
      ['missing', 'not-handed-in'],
      ['missing', 'seq-gap'],
      ['missing', 'silence'],
    ]);
    expect(doubts[1]?.facts).toMatchObject({
      missing: 4,
      gaps: [
        [3, 4],
        [7, 8],
      ],
    });
  });

  it('works without a start, and with clips that carry no time of passing', () => {
    const misread = sighting('7777', 0, 58);
    const field = [...plainField().filter((s) => s.bib !== '2300'), misread, sighting('7177', 1, 32 * 5.8 * 1.03)];
    const list = [...new Set(field.map((s) => s.bib!))].filter((b) => b !== '7777').map((bib) => ({ bib }));
    for (const startMs of [START, null]) {
      const [doubt] = about(checkRace(input(field, { startMs, startList: list })), '7777');
      expect(doubt?.candidates[0]?.bib).toBe('7177');
    }
    const clips = field.map((s) => ({ ...s, method: 'clip' as const }));
    expect(about(checkRace(input(clips, { startList: list })), '7777')[0]?.candidates[0]?.bib).toBe('7177');
  });
});

describe('disputes', () => {
  it('are exactly those the classes of runners show', () => {
    const seen = fc.record({
      bib: fc.constantFrom('1', '2'),
      observer: fc.constantFrom('A', 'B', 'C'),
      method: fc.constantFrom('live' as const, 'clip' as const, 'ruling' as const),
      left: fc.constantFrom(...FOOT_VALUES),
      right: fc.constantFrom(...FOOT_VALUES),
      walks: fc.boolean(),
      atMs: fc.integer({ min: 0, max: 5 }),
    });
    fc.assert(
      fc.property(fc.array(seen, { maxLength: 12 }), (entries) => {
        const sightings = entries.map(({ walks, ...rest }, i): CheckSighting => ({
          ...rest,
          ...{ id: `r${i}`, checkpoint: 0, gait: walks ? 'walk' : 'run' },
          ...(walks ? { left: 'unseen', right: 'unseen' } : {}),
        }));
        const table = new SightingTableBuilder();
        for (const { id, atMs, checkpoint: _, ...s } of sightings) {
          table.add({ ...s, recordId: id, checkpoint: 'a', km: 10, observedAtMs: atMs });
        }
        const built = table.build();
        const classes = runnerClasses(built, usedSightings(built));
        const expected = [...classes.outcome].flatMap((outcome, i) =>
          outcome === DISPUTED ? [built.bibs[classes.bib[i]!]!] : [],
        );
        const doubts = checkRace(input(sightings, { checkpoints: CHECKPOINTS.slice(0, 1) }));
        const disputed = doubts.flatMap((d) =>
          d.kind === 'disputed' ? [d.bib!, ...(d.facts.type === 'swapped' ? [d.facts.other] : [])] : [],
        );
        expect(disputed.sort()).toEqual(expected.sort());
      }),
      { numRuns: 400 },
    );
  });
});
