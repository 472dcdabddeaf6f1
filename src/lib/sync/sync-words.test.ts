import { describe, expect, it } from 'vitest';
import { NOT_LINKED, type SyncState } from './sync-state.ts';
import { refusalWords, syncHeadline } from './sync-words.ts';

const clock = (ms: number) => new Date(ms).toISOString().slice(11, 16);
const linked: SyncState = { ...NOT_LINKED, role: 'observer' };
const since = Date.UTC(2026, 9, 4, 10, 42);
const away: SyncState = { ...linked, problem: { type: 'no-network' }, problemSince: since };
const refused = [
  { id: 'a', reason: 'conflict' },
  { id: 'b', reason: 'conflict' },
];

describe('syncHeadline', () => {
  it.each<[string, SyncState, number, number]>([
    ['214 tallied, 214 at the hub', linked, 214, 0],
    ['37 waiting, no network since 10:42', away, 214, 37],
    ['214 tallied, 214 at the hub; no network since 10:42', away, 214, 0],
    ['37 waiting, on their way to the hub', linked, 214, 37],
    ['The hub refused 2 records', { ...linked, refused }, 214, 2],
    ['3 waiting, on their way to the hub', { ...linked, refused }, 214, 5],
    ['214 tallied on this device, which has not joined a hub', NOT_LINKED, 214, 214],
    [
      '5 waiting, the hub refuses this device since 10:42',
      { ...away, problem: { type: 'refused', status: 401, code: 'unknown-token', message: '' } },
      5,
      5,
    ],
  ])('says "%s"', (said, state, tallied, waiting) => {
    expect(syncHeadline(state, { tallied, waiting, pulled: 0 }, clock)).toBe(said);
  });

  it('tells a lead who tallied nothing what was gathered', () => {
    const lead: SyncState = { ...linked, role: 'organiser' };
    expect(syncHeadline(lead, { tallied: 0, waiting: 0, pulled: 431 }, clock)).toBe('431 records here from the hub');
  });
});

describe('refusalWords', () => {
  it('keeps what the hub said of a record it cannot read', () => {
    expect(refusalWords('malformed: left: expected a foot')).toBe('The hub cannot read it: left: expected a foot');
    expect(refusalWords('too-large: says too-large')).toBe('too-large: says too-large');
  });
});
