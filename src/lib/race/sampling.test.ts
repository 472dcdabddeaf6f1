import { describe, expect, test } from 'vitest';
import { samplingAdvice } from './sampling.ts';
import { proposedCheckpoint, stationsOf } from './station.ts';
import type { Race } from './race.ts';

const at = (text: string) => Date.parse(text);

describe('samplingAdvice', () => {
  test('classes everyone without a rule of its own', () => {
    expect(samplingAdvice({ kind: 'everyone' }, 7, 0, undefined)).toEqual({ kind: 'everyone', classNext: true });
  });

  test('counts to the k-th runner and round again', () => {
    const positions = [0, 1, 2, 3, 4, 5].map((passed) => samplingAdvice({ kind: 'every', k: 3 }, passed, 0, undefined));
    expect(positions.map((a) => a.kind === 'every' && a.position)).toEqual([1, 2, 3, 1, 2, 3]);
    expect(positions.map((a) => a.classNext)).toEqual([false, false, true, false, false, true]);
    // A count set back by hand may start below 0.
    expect(samplingAdvice({ kind: 'every', k: 3 }, -1, 0, undefined)).toMatchObject({ position: 3 });
  });

  test('opens the first minutes of each stretch, counted from the full hour on the wall clock of the race', () => {
    const rule = { kind: 'windows', onMinutes: 5, everyMinutes: 15 } as const;
    const advice = (text: string, zone: string) => samplingAdvice(rule, 0, at(text), zone);
    expect(advice('2026-10-04T07:04:59.999Z', 'UTC')).toEqual({
      kind: 'windows',
      classNext: true,
      changesAt: at('2026-10-04T07:05:00.000Z'),
    });
    expect(advice('2026-10-04T07:05:00.000Z', 'UTC')).toEqual({
      kind: 'windows',
      classNext: false,
      changesAt: at('2026-10-04T07:15:00.000Z'),
    });
    // 07:16 UTC is 13:01 in a zone of 5 h 45 min: the second minute of its hour.
    expect(advice('2026-10-04T07:16:00.000Z', 'Asia/Kathmandu')).toEqual({
      kind: 'windows',
      classNext: true,
      changesAt: at('2026-10-04T07:20:00.000Z'),
    });
  });

  test('begins anew at the full hour when the stretch does not divide it', () => {
    const rule = { kind: 'windows', onMinutes: 10, everyMinutes: 25 } as const;
    expect(samplingAdvice(rule, 0, at('2026-10-04T07:52:00.000Z'), 'UTC')).toMatchObject({
      classNext: true,
      changesAt: at('2026-10-04T08:00:00.000Z'),
    });
  });
});

describe('stations', () => {
  const race: Race = {
    id: '3f0d4a5e-6c0b-4b8e-9a55-5f0c7f6f7a10',
    name: 'Three laps',
    date: '2026-10-04',
    checkpoints: [
      { id: 'c', name: 'Lap 3', km: 30 },
      { id: 'a', name: 'Lap 1', km: 10 },
      { id: 'b', name: 'Lap 2', km: 20 },
    ],
    observers: [
      { code: 'N4', checkpoint: 'c', side: 'right' },
      { code: 'N4', checkpoint: 'a' },
      { code: 'B1', checkpoint: 'b' },
    ],
  };

  test('gathers the checkpoints of one observer by km', () => {
    expect(stationsOf(race).map((s) => [s.observer, s.checkpoints.map((c) => c.id), s.side])).toEqual([
      ['B1', ['b'], undefined],
      ['N4', ['a', 'c'], 'right'],
    ]);
  });

  test("proposes the runner's next checkpoint, and the last one for ever after", () => {
    const laps = [race.checkpoints[1]!, race.checkpoints[2]!, race.checkpoints[0]!];
    const proposed = (...seen: string[]) => proposedCheckpoint(laps, (id) => seen.includes(id)).id;
    expect(proposed()).toBe('a');
    expect(proposed('a')).toBe('b');
    // Missed on the second lap: seen on the first and third is past all.
    expect(proposed('a', 'c')).toBe('c');
    expect(proposed('b')).toBe('c');
    expect(proposed('elsewhere')).toBe('a');
  });
});
