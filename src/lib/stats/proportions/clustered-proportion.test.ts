import fc from 'fast-check';
import { expect, it } from 'vitest';
import { clusteredDifference } from './clustered-difference.ts';
import { clusteredProportion } from './clustered-proportion.ts';

const units = fc.array(fc.record({ hit: fc.boolean(), cluster: fc.nat(9) }), { minLength: 1, maxLength: 60 });

it('does not depend on the order of units or the names of clusters, and stays within 0 and 1', () => {
  fc.assert(
    fc.property(units, (list) => {
      const of = (rows: typeof list, name: (cluster: number) => string | number) =>
        clusteredProportion({ hits: rows.map(({ hit }) => hit), clusters: rows.map(({ cluster }) => name(cluster)) });
      const plain = of(list, (cluster) => cluster);
      const turned = of([...list].reverse(), (cluster) => `c${cluster}`);
      expect(turned.share).toBe(plain.share);
      if (plain.clusterLow === null) return;
      expect(turned.clusterLow).toBeCloseTo(plain.clusterLow, 10);
      expect(plain.clusterLow).toBeGreaterThanOrEqual(0);
      expect(plain.clusterHigh).toBeLessThanOrEqual(1);
    }),
  );
});

it('is wider by √2 when all units come twice in their cluster', () => {
  const hits = [true, false, true, true, false, true, false, true];
  const clusters = hits.map((_, i) => i);
  const once = clusteredProportion({ hits, clusters }, 0.5);
  const twice = clusteredProportion({ hits: [...hits, ...hits], clusters: [...clusters, ...clusters] }, 0.5);
  expect(twice.clusterHigh! - twice.share!).toBeCloseTo(once.clusterHigh! - once.share!, 12);
});

it('has no figures without units, and no cluster interval where nothing varies', () => {
  expect(clusteredProportion({ hits: [], clusters: [] })).toMatchObject({ count: 0, of: 0, share: null, low: null });
  expect(clusteredProportion({ hits: [true, true], clusters: [1, 2] })).toMatchObject({ share: 1, clusterLow: null });
});

it('throws where a unit has no cluster', () => {
  expect(() => clusteredProportion({ hits: [true], clusters: [] })).toThrow('expected one each');
});

it('a difference with itself over the same clusters is 0 without an interval, and turns with the order', () => {
  const a = { hits: [true, false, true], clusters: [1, 2, 3] };
  const b = { hits: [false, false, true], clusters: [1, 2, 3] };
  expect(clusteredDifference(a, a)).toMatchObject({ difference: 0, low: null });
  expect(clusteredDifference(a, b).low).toBeCloseTo(-clusteredDifference(b, a).high!, 12);
  expect(clusteredDifference(a, { hits: [], clusters: [] })).toMatchObject({ second: null, difference: null });
});
