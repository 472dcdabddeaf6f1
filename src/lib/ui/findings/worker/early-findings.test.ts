import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { startEarlyFindings, takeEarlyFindings } from './early-findings.ts';

class WorkerOfTest {
  static made: WorkerOfTest[] = [];
  readonly told: unknown[] = [];
  ended = false;

  constructor() {
    WorkerOfTest.made.push(this);
  }

  postMessage(message: unknown): void {
    this.told.push(message);
  }

  terminate(): void {
    this.ended = true;
  }
}

/** What the race's channels hear, said at once and from here. */
class ChannelOfTest {
  static open: ChannelOfTest[] = [];
  onmessage: ((event: { data: unknown }) => void) | null = null;

  constructor(readonly name: string) {
    ChannelOfTest.open.push(this);
  }

  close(): void {
    ChannelOfTest.open = ChannelOfTest.open.filter((one) => one !== this);
  }

  static say(race: string, change: string): void {
    for (const channel of ChannelOfTest.open.filter(({ name }) => name === 'kerbside-records')) {
      channel.onmessage?.({ data: { race, word: { change, from: 0 } } });
    }
  }
}

const inBrowserBy = (vendor: string) => vi.stubGlobal('navigator', { vendor });

beforeEach(() => {
  WorkerOfTest.made = [];
  ChannelOfTest.open = [];
  vi.stubGlobal('Worker', WorkerOfTest);
  vi.stubGlobal('BroadcastChannel', ChannelOfTest);
  inBrowserBy('Google Inc.');
});
afterEach(() => {
  for (const race of ['r1', 'r2']) takeEarlyFindings(race)?.end();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

it.each(['/races/r1/findings', '/races/r1/findings/', '/races/r1/findings/club'])('reads the race of %s', (path) => {
  startEarlyFindings(path);
  expect(WorkerOfTest.made.map(({ told }) => told)).toEqual([[{ own: true }, { kind: 'read', raceId: 'r1' }]]);
});

it.each(['/', '/races/r1/tally', '/races/r1/findings/more', '/season'])('starts nothing on %s', (path) => {
  startEarlyFindings(path);
  expect(WorkerOfTest.made).toEqual([]);
});

it('starts nothing where a worker may have no database of its own', () => {
  inBrowserBy('Apple Computer, Inc.');
  startEarlyFindings('/races/r1/findings');
  expect(WorkerOfTest.made).toEqual([]);
});

it('is taken once, and only for its race', () => {
  startEarlyFindings('/races/r1/findings');
  expect(takeEarlyFindings('r2')).toBeNull();
  const taken = takeEarlyFindings('r1');
  expect(taken?.worker).toBe(WorkerOfTest.made[0]);
  expect(takeEarlyFindings('r1')).toBeNull();
  taken?.end();
  expect(WorkerOfTest.made[0]?.ended).toBe(true);
});

it('ends when nobody takes it, and lives on when somebody did', () => {
  vi.useFakeTimers();
  startEarlyFindings('/races/r1/findings');
  vi.advanceTimersByTime(10_000);
  expect(takeEarlyFindings('r1')).toBeNull();
  startEarlyFindings('/races/r1/findings');
  const taken = takeEarlyFindings('r1');
  vi.advanceTimersByTime(60_000);
  expect(WorkerOfTest.made.map(({ ended }) => ended)).toEqual([true, false]);
  taken?.end();
});

it('says that the race has changed since it was read, and hands on what changes later', () => {
  startEarlyFindings('/races/r1/findings');
  const early = takeEarlyFindings('r1');
  ChannelOfTest.say('r2', 'added');
  ChannelOfTest.say('r1', 'handedIn');
  expect(early?.handOver(() => {}).changed).toBe(false);
  early?.end();
  expect(ChannelOfTest.open).toEqual([]);

  startEarlyFindings('/races/r1/findings');
  const taken = takeEarlyFindings('r1');
  ChannelOfTest.say('r1', 'pulled');
  const heard = vi.fn();
  const handed = taken?.handOver(heard);
  expect(handed?.changed).toBe(true);
  expect(heard).not.toHaveBeenCalled();
  ChannelOfTest.say('r1', 'added');
  expect(heard).toHaveBeenCalledTimes(1);
  handed?.deafen();
  expect(ChannelOfTest.open).toEqual([]);
  taken?.end();
});
