import * as v from 'valibot';
import { beforeAll, describe, expect, it } from 'vitest';
import { demoRace, type DemoRaceData } from './demo-race.ts';
import { raceSchema, resultRowSchema, startListRowSchema } from '../race/race.ts';
import { recordSchema, type Sighting } from '../records/record.ts';
import { seededRandom } from '../records/seeded-random.ts';

let demo: DemoRaceData;
let sightings: Sighting[];
beforeAll(() => {
  demo = demoRace();
  sightings = demo.records as Sighting[];
});
const byId = (id: string) => sightings.find((sighting) => sighting.id === id)!;
const listed = () => new Set(demo.startList.map((row) => row.bib));

describe('the demo race', () => {
  it('is the same race for the same seed, and another for another', () => {
    expect(demoRace()).toEqual(demo);
    expect(demoRace(7).records).not.toEqual(demo.records);
  });

  it('is valid throughout', () => {
    expect(v.is(raceSchema, demo.race)).toBe(true);
    for (const row of demo.startList) expect(v.is(startListRowSchema, row)).toBe(true);
    for (const row of demo.results) expect(v.is(resultRowSchema, row)).toBe(true);
    for (const record of demo.records) expect(v.safeParse(recordSchema, record).issues).toBeUndefined();
  });

  it('gives each id once, and each device its seq without a gap', () => {
    expect(new Set(demo.records.map((record) => record.id)).size).toBe(demo.records.length);
    for (const device of new Set(demo.records.map((record) => record.device))) {
      const seqs = demo.records.filter((record) => record.device === device).map((record) => record.seq);
      expect(seqs.sort((a, b) => a - b)).toEqual(seqs.map((_, i) => i + 1));
    }
  });

  it('has about 1,200 starters, three observers at two checkpoints and clips', () => {
    expect(demo.results.filter((row) => row.status !== 'DNS')).toHaveLength(1200);
    const posts = new Set(sightings.map((s) => `${s.observer} ${s.checkpoint} ${s.method}`));
    expect([...posts].sort()).toEqual([
      'A1 old-pier clip',
      'A1 old-pier live',
      'A2 old-pier live',
      'B1 quarry-hill live',
    ]);
  });

  it('shows about 88 % rearfoot early and more late among those with both feet seen, and walkers late only', () => {
    const share = (checkpoint: string) => {
      const seen = sightings.filter(
        (s) => s.checkpoint === checkpoint && s.method === 'live' && s.left !== 'unseen' && s.right !== 'unseen',
      );
      return seen.filter((s) => s.left === 'rearfoot' && s.right === 'rearfoot').length / seen.length;
    };
    expect(share('old-pier')).toBeGreaterThan(0.85);
    expect(share('old-pier')).toBeLessThan(0.91);
    expect(share('quarry-hill')).toBeGreaterThan(share('old-pier') + 0.02);
    expect(sightings.some((s) => s.gait === 'walk' && s.checkpoint === 'old-pier')).toBe(false);
    expect(sightings.filter((s) => s.gait === 'walk').length).toBeGreaterThan(20);
  });
});

describe('the doubts planted in the demo race', () => {
  it('has two unlisted bibs and no other: a look-alike digit and two digits changed about', () => {
    const { misread, swapped } = demo.plants;
    const unlisted = sightings.filter((s) => s.bib !== null && !listed().has(s.bib)).map((s) => s.id);
    expect(unlisted.sort()).toEqual([misread.record, swapped.record].sort());
    expect(byId(misread.record).bib).toBe(misread.written);
    expect([...misread.written].filter((digit, i) => digit !== misread.right[i])).toHaveLength(1);
    expect([...swapped.written].sort()).toEqual([...swapped.right].sort());
    expect(listed().has(misread.right) && listed().has(swapped.right)).toBe(true);
  });

  it('has one dispute that no clip settles', () => {
    const disputed: string[] = [];
    for (const bib of listed()) {
      const here = sightings.filter((s) => s.bib === bib && s.checkpoint === 'old-pier');
      const used = here.some((s) => s.method === 'clip') ? here.filter((s) => s.method === 'clip') : here;
      const differ = (side: 'left' | 'right') => {
        const seen = used.map((s) => s[side]).filter((foot) => foot !== 'unseen');
        return new Set(seen).size > 1;
      };
      if (differ('left') || differ('right')) disputed.push(bib);
    }
    expect(disputed).toEqual([demo.plants.dispute.bib]);
    const [one, two] = demo.plants.dispute.records.map(byId);
    expect([one?.observer, two?.observer, one?.left, two?.left]).toEqual(['A1', 'A2', 'rearfoot', 'midfoot']);
  });

  it('has one tablet that runs 90 s ahead of its neighbour', () => {
    const at = (observer: string, bib: string) =>
      sightings.find((s) => s.observer === observer && s.bib === bib && s.method === 'live')?.observedAt;
    const apart = [...listed()].flatMap((bib) => {
      const [one, two] = [at('A1', bib), at('A2', bib)];
      return one && two ? [Date.parse(two) - Date.parse(one)] : [];
    });
    expect(apart.length).toBeGreaterThan(200);
    expect(Math.min(...apart)).toBe(90_000);
    expect(Math.max(...apart)).toBe(90_000);
    expect(demo.plants.clock.aheadMs).toBe(90_000);
  });

  it('has one double entry', () => {
    const seen = new Map<string, string[]>();
    for (const s of sightings) {
      if (s.bib === null) continue;
      const key = `${s.observer} ${s.checkpoint} ${s.method} ${s.bib}`;
      seen.set(key, [...(seen.get(key) ?? []), s.id]);
    }
    const doubles = [...seen.values()].filter((ids) => ids.length > 1);
    expect(doubles.map((ids) => ids.sort())).toEqual([[...demo.plants.double.records].sort()]);
  });
});

describe('seededRandom', () => {
  it('is even over ten bins: chi-square below its 99.9 % point, 27.88 with 9 df (printed in any table)', () => {
    const random = seededRandom(1);
    const bins = new Array<number>(10).fill(0);
    for (let i = 0; i < 100_000; i += 1) bins[Math.floor(random() * 10)]! += 1;
    expect(bins.reduce((sum, n) => sum + (n - 10_000) ** 2 / 10_000, 0)).toBeLessThan(27.88);
  });
});
