import { describe, expect, it } from 'vitest';
import type { SamplingRule } from '../race/race.ts';
import { practisedSeconds } from './practised-seconds.ts';

const everyone = { kind: 'everyone' } as const;

describe('practisedSeconds', () => {
  it('turns Erlang’s loss for one server round: of 60 a minute at 3 s each a quarter is classed', () => {
    // Erlang (1917): one server without waiting room serves 1/(1 + a); a = 60 · 3 / 60 = 3.
    expect(practisedSeconds({ due: 180, classed: 45, perMinute: 60, pack: 1, rule: everyone })).toBe(3);
    // Half of 20 a minute: a = 1.
    expect(practisedSeconds({ due: 60, classed: 30, perMinute: 20, pack: 1, rule: everyone })).toBe(3);
  });

  it('allows for the rule: only runners with such a bib keep the observer busy', () => {
    const rule: SamplingRule = { kind: 'endings', endings: ['1', '5'] };
    // 60 · 0.2 = 12 due a minute, half of them classed: a = 1, 5 s each.
    expect(practisedSeconds({ due: 36, classed: 18, perMinute: 60, pack: 1, rule })).toBe(5);
  });

  it('asks less of each runner where they came in packs: some were missed while another passed', () => {
    const alone = practisedSeconds({ due: 60, classed: 30, perMinute: 20, pack: 1, rule: everyone })!;
    const packed = practisedSeconds({ due: 60, classed: 30, perMinute: 20, pack: 1.5, rule: everyone })!;
    expect(packed).toBeLessThan(alone);
  });

  it('says nothing where nobody or everybody was classed', () => {
    for (const classed of [0, 60]) {
      expect(practisedSeconds({ due: 60, classed, perMinute: 20, pack: 1, rule: everyone })).toBeNull();
    }
    expect(practisedSeconds({ due: 0, classed: 0, perMinute: 0, pack: 1, rule: everyone })).toBeNull();
    // Packs alone cost more than was lost: not even an instant each explains it.
    expect(practisedSeconds({ due: 60, classed: 59, perMinute: 20, pack: 6, rule: everyone })).toBeGreaterThan(0);
  });
});
