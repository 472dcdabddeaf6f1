import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rowChanges } from './row-changes.ts';
import { instantOfWallClock, wallClockAt } from './wall-clock.ts';

describe('wall clock', () => {
  // Offsets from the IANA time zone database: London is on UTC+1 until the last Sunday of October (01:00 UTC), Kathmandu on
  // UTC+5:45 all year, New York on UTC-4 from the second Sunday of March.
  it.each([
    ['2026-10-04', '9:00', 'Europe/London', '2026-10-04T08:00:00.000Z'],
    ['2026-10-25', '09:00:30', 'Europe/London', '2026-10-25T09:00:30.000Z'],
    ['2026-03-08', '07:00', 'America/New_York', '2026-03-08T11:00:00.000Z'],
    ['2026-10-04', '06:15', 'Asia/Kathmandu', '2026-10-04T00:30:00.000Z'],
    ['2026-10-04', '00:00', 'Pacific/Auckland', '2026-10-03T11:00:00.000Z'],
  ])('%s %s in %s', (date, time, zone, instant) => {
    expect(instantOfWallClock(date, time, zone)).toBe(instant);
    expect(wallClockAt(instant, zone).date).toBe(date);
  });

  it('has no instant for an hour that is skipped, and the first of one that comes twice', () => {
    expect(instantOfWallClock('2026-03-29', '01:30', 'Europe/London')).toBeNull();
    expect(instantOfWallClock('2026-10-25', '01:30', 'Europe/London')).toBe('2026-10-25T00:30:00.000Z');
    for (const time of ['', '25:00', '9', '9:60']) expect(instantOfWallClock('2026-10-04', time, 'UTC')).toBeNull();
  });

  it('goes there and back', () => {
    const zones = fc.constantFrom('UTC', 'Europe/Berlin', 'Australia/Lord_Howe', 'America/St_Johns', 'Asia/Tokyo');
    const seconds = fc.integer({ min: 1_000_000_000, max: 2_500_000_000 });
    fc.assert(
      fc.property(zones, seconds, (zone, second) => {
        const instant = new Date(second * 1000).toISOString();
        const shown = wallClockAt(instant, zone);
        const back = instantOfWallClock(shown.date, shown.time, zone);
        expect(back).not.toBeNull();
        expect(wallClockAt(back!, zone)).toEqual(shown);
      }),
    );
  });
});

it('tells what replacing a list changes', () => {
  const before = [{ bib: '1', team: 'A' }, { bib: '2' }, { bib: '3' }];
  const after = [{ bib: '3' }, { bib: '1', team: 'B' }, { bib: '4' }];
  expect(rowChanges(before, after)).toEqual({
    added: [{ bib: '4' }],
    removed: [{ bib: '2' }],
    changed: [{ before: { bib: '1', team: 'A' }, after: { bib: '1', team: 'B' } }],
    same: 1,
  });
});
