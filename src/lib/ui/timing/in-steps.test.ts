import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { InSteps } from './in-steps.ts';

function* counted(to: number, into: number[]) {
  for (let i = 1; i <= to; i += 1) {
    into.push(i);
    yield;
  }
}

describe('work in steps', () => {
  beforeEach(() => {
    vi.useFakeTimers();
    vi.stubGlobal('requestAnimationFrame', (work: () => void) => setTimeout(work, 16));
  });
  afterEach(() => {
    vi.useRealTimers();
    vi.unstubAllGlobals();
  });

  it('takes the first at once and one a frame from then on', () => {
    const done: number[] = [];
    new InSteps().begin(counted(3, done));
    expect(done).toEqual([1]);
    vi.advanceTimersByTime(17);
    expect(done).toEqual([1, 2]);
    vi.runAllTimers();
    expect(done).toEqual([1, 2, 3]);
  });

  it('drops what is left when others begin, takes all at once when asked, and stops', () => {
    const [first, second]: number[][] = [[], []];
    const steps = new InSteps();
    steps.begin(counted(9, first!));
    steps.begin(counted(3, second!));
    vi.advanceTimersByTime(17);
    expect([first, second]).toEqual([[1], [1, 2]]);
    steps.finish();
    expect(second).toEqual([1, 2, 3]);
    steps.begin(counted(9, first!));
    steps.stop();
    vi.runAllTimers();
    expect(first).toEqual([1, 1]);
  });
});
