import { compareCodePoints } from '../records/code-point-order.ts';
import type { CheckInput } from './input/check-input.ts';
import type { Doubt } from './doubt.ts';
import { CheckedField } from './times/checked-field.ts';
import { findClipFigures } from './feet/find-clip-figures.ts';
import { clockDoubts, findClockShifts, shiftsBehind } from './times/find-clocks.ts';
import { findDisputed } from './feet/find-disputed.ts';
import { findDoubles } from './bibs/find-doubles.ts';
import { findMissing } from './times/find-missing.ts';
import { OddTimes } from './times/find-odd-times.ts';
import { findTwoRates } from './feet/find-two-rates.ts';
import { findUnlisted } from './bibs/find-unlisted.ts';
import { Misreadings } from './bibs/misreadings.ts';
import { findWrongStart } from './times/wrong-start.ts';

/** Parts of a check after each of which it says how far it is. */
export const CHECK_STEPS = 8;

/**
 * All doubts of a race, worst first; those the lead has left as they are do not come again. Reads its input and changes
 * nothing. Linear in starters and sightings for a given number of checkpoints, apart from sorting.
 *
 * @param onStep called after each of the `CHECK_STEPS` parts of the work
 */
export function checkRace(given: CheckInput, onStep: () => void = () => undefined): Doubt[] {
  const step = <Made>(made: Made): Made => {
    onStep();
    return made;
  };
  const wrongStart = findWrongStart(given);
  const input = wrongStart ? { ...given, startMs: null } : given;
  const plain = step(new CheckedField(input));
  const shifts = step(findClockShifts(plain));
  // Clocks first: with a wrong one hundreds of right times would look odd.
  const field = shifts.length
    ? new CheckedField(input, new Map(shifts.map((s) => [s.device, -Math.round(s.aheadSeconds * 1000)])))
    : plain;
  const misreadings = new Misreadings(field);
  const doubles = step(findDoubles(field, misreadings));
  const unlisted = step(findUnlisted(field, misreadings));
  const oddTimes = step(new OddTimes(field, misreadings, doubles));
  const doubts = [
    ...(wrongStart ? [wrongStart] : []),
    ...clockDoubts(field, [...shifts, ...shiftsBehind(field, oddTimes.systematic, shifts)]),
    ...unlisted,
    ...step(findDisputed(field)),
    ...step(oddTimes.find()),
    ...doubles,
    ...findTwoRates(input),
    ...findClipFigures(input),
    ...step(findMissing(field)),
  ].filter((doubt) => !input.leftAsIs.has(doubt.key));
  return doubts.sort((a, b) => b.weight - a.weight || compareCodePoints(placeInList(a), placeInList(b)));
}

/** Orders doubts of one weight by what they are about: the same in the app, which names checkpoints by id, and in a table. */
function placeInList({ kind, bib, records, key }: Doubt): string {
  return [kind, bib ?? '', ...records, records.length ? '' : key].join('\n');
}
