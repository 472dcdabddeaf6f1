import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { instantOfBytes } from './instant-of-bytes.ts';

const instantOf = (text: string) => {
  const bytes = new TextEncoder().encode(`"${text}"`);
  return instantOfBytes(bytes, 1, bytes.length - 1);
};

describe('instantOfBytes', () => {
  // The examples of RFC 3339, section 5.8.
  it.each([
    ['1985-04-12T23:20:50.52Z', Date.UTC(1985, 3, 12, 23, 20, 50, 520)],
    ['1996-12-19T16:39:57-08:00', Date.UTC(1996, 11, 20, 0, 39, 57)],
    ['1990-12-31T23:59:60Z', Date.UTC(1991, 0, 1)],
    ['1990-12-31T15:59:60-08:00', Date.UTC(1991, 0, 1)],
    ['1937-01-01T12:00:27.87+00:20', Date.UTC(1937, 0, 1, 11, 40, 27, 870)],
  ])('reads %s', (text, ms) => {
    expect(instantOf(text)).toBe(ms);
  });

  it('agrees with the platform on every instant it can write', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date(0), max: new Date('9999-12-31T23:59:59.999Z'), noInvalidDate: true }),
        (date) => {
          expect(instantOf(date.toISOString())).toBe(date.getTime());
        },
      ),
    );
  });

  it('keeps decimals beyond the millisecond', () => {
    expect(instantOf('2026-10-04T09:30:05.0005Z') - instantOf('2026-10-04T09:30:05Z')).toBeCloseTo(0.5, 3);
  });

  it.each([
    '',
    '2026-10-04',
    '2026-10-04T09:30:05',
    '2026-10-04T09:30Z',
    '2026-13-04T09:30:05Z',
    '2026-02-29T09:30:05Z',
    '2026-10-04T24:00:00Z',
    '2026-10-04T09:60:05Z',
    '2026-10-04T09:30:61Z',
    '2026-10-04T09:30:05.Z',
    '2026-10-04T09:30:05+2:00',
    '2026-10-04T09:30:05+02:60',
    '2026-10-04T09:30:05+0200',
    '2026-10-04T09:30:05Z ',
    '04.10.2026 09:30:05Z',
    '20x6-10-04T09:30:05Z',
  ])('refuses %j', (text) => {
    expect(instantOf(text)).toBeNaN();
  });

  it('knows the leap years of the Gregorian calendar', () => {
    expect(instantOf('2024-02-29T00:00:00Z')).toBe(Date.UTC(2024, 1, 29));
    expect(instantOf('2000-02-29T00:00:00Z')).toBe(Date.UTC(2000, 1, 29));
    expect(instantOf('1900-02-29T00:00:00Z')).toBeNaN();
  });
});
