import { describe, expect, it } from 'vitest';
import { EMPTY_CHECK_INPUT, type CheckInput, type CheckSighting } from '../input/check-input.ts';
import { dueAbout, expectedPassings } from './expected-passings.ts';

const START = Date.UTC(2033, 0, 11, 9);
/** Invented runners who keep their pace: seconds a km by bib. */
const PACES = new Map(Array.from({ length: 40 }, (_, i) => [String(100 + i), 240 + 5 * i] as const));

const sighting = (bib: string, checkpoint: number, seconds: number, more: Partial<CheckSighting> = {}) => ({
  ...{ id: `${bib}-${checkpoint}`, checkpoint, bib, gait: 'run' as const, left: 'rearfoot' as const },
  ...{ right: 'rearfoot' as const, observer: 'A', method: 'live' as const, device: 'd', atMs: START + seconds * 1000 },
  ...more,
});

function field(without: readonly string[]): CheckInput {
  const sightings = [...PACES].flatMap(([bib, pace]) => [
    sighting(bib, 0, 5 * pace),
    ...(without.includes(bib) ? [] : [sighting(bib, 1, 15 * pace)]),
  ]);
  const checkpoints = [
    { id: 'a', name: 'A', km: 5 },
    { id: 'b', name: 'B', km: 15 },
  ];
  return { ...EMPTY_CHECK_INPUT, checkpoints, sightings, startMs: START };
}

describe('when runners should pass', () => {
  it('is when they were tallied there, else what their other times make likely', () => {
    const passings = new Map(expectedPassings(field(['110', '120']), 1).map((one) => [one.bib, one]));
    expect(passings.get('105')).toMatchObject({ atMs: START + 15 * PACES.get('105')! * 1000 });
    for (const bib of ['110', '120']) {
      const right = START + 15 * PACES.get(bib)! * 1000;
      expect(Math.abs(passings.get(bib)!.atMs - right) / 1000).toBeLessThan(60);
      expect(passings.get(bib)!.sdSeconds).toBeGreaterThan(passings.get('105')!.sdSeconds);
    }
  });

  it('leaves out whom nothing tells of, and says nothing of feet', () => {
    const input = { ...field([]), startList: [{ bib: '9' }, ...[...PACES.keys()].map((bib) => ({ bib }))] };
    const passings = expectedPassings(input, 1);
    expect(passings.map(({ bib }) => bib)).not.toContain('9');
    expect(Object.keys(passings[0]!).sort()).toEqual(['atMs', 'bib', 'sdSeconds']);
    expect(expectedPassings(EMPTY_CHECK_INPUT, 0)).toEqual([]);
  });

  it('does not go by clips or by times between two on paper', () => {
    const odd = { atMs: START, timeEstimated: true };
    const base = field(['110']);
    const input = { ...base, sightings: [...base.sightings, sighting('110', 1, 0, odd)] };
    const [own] = expectedPassings(input, 1).filter(({ bib }) => bib === '110');
    expect(own!.atMs).toBeGreaterThan(START + 3_000_000);
  });

  it('puts the likeliest first', () => {
    const passings = expectedPassings(field([]), 1);
    const ms = START + 15 * PACES.get('112')! * 1000;
    expect(dueAbout(passings, ms, 3)[0]).toBe('112');
    expect(dueAbout(passings, ms, 1)).toHaveLength(1);
    expect(dueAbout(passings, START - 3_600_000, 5)).toEqual([]);
  });
});
