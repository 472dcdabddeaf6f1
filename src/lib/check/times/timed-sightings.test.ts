import { expect, it } from 'vitest';
import type { CheckSighting } from '../input/check-input.ts';
import { timedSightings } from './timed-sightings.ts';

const MINUTE = 60_000;

function seen(method: CheckSighting['method'], minute: number, checkpoint = 0): CheckSighting {
  const who = { id: `${method} ${minute} ${checkpoint}`, bib: '7', observer: 'A' };
  return { ...who, checkpoint, method, atMs: minute * MINUTE, gait: 'run', left: 'midfoot', right: 'midfoot' };
}

it('trusts live times, clips within ten minutes of the live ones of their checkpoint, and no ruling', () => {
  const sightings = [
    seen('live', 30),
    seen('live', 60),
    seen('clip', 20),
    seen('clip', 70),
    seen('clip', 19),
    seen('clip', 71),
    seen('clip', 45, 1),
    seen('ruling', 45),
  ];
  const timed = timedSightings(
    sightings,
    Float64Array.from(sightings, (s) => s.atMs),
  );
  expect([...timed]).toEqual([1, 1, 1, 1, 0, 0, 0, 0]);
});
