import { count, distance } from '../words/numbers.ts';
import type { ChangeFigures } from './shift-figures.ts';
import type { PlanFigures } from './plan-figures.ts';

/** Powers as a person says them: in how many of ten such races. */
export function inTenRaces(power: number): string {
  if (power >= 0.995) return 'nearly every one';
  if (power >= 0.95) return 'more than 9 of 10';
  const tenths = Math.round(power * 10);
  return tenths === 0 ? 'fewer than 1 of 10' : `${count(tenths)} of 10`;
}

/** A share as a number in a hundred. */
export const inHundred = (share: number): string => count(Math.round(share * 100));

/** By the exact test, which is never too quick to see a shift. */
export const noticed = ({ power }: ChangeFigures): number | null => power.exact;

/** A checkpoint by its name and km. */
export function placeName(figures: PlanFigures, checkpoint: string): string {
  const km = figures.flow.find((flow) => flow.checkpoint === checkpoint)?.km;
  return km === undefined ? checkpoint : `${checkpoint} (${distance(km)})`;
}

/** The answer first: how many at both, and how often such a shift would be noticed by eyes that err. */
export function planAnswer(figures: PlanFigures): string {
  const { shift, expected, precision } = figures;
  if (shift === null) {
    const [only] = precision.shares;
    const half = only?.halfWidth;
    const n = expected.checkpoints.find(({ checkpoint }) => checkpoint === figures.inputs.early)?.classified ?? 0;
    const width = half ? ` Their rearfoot share will be known to ±${count(Math.round(half * 100))} in 100.` : '';
    return `About ${count(Math.round(n))} runners will be classed.${width}`;
  }
  const power = noticed(shift.throughEyes);
  const pairs = `About ${count(Math.round(expected.pairs ?? 0))} runners will be classed at both.`;
  if (power === null) return `${pairs} No shift can be noticed.`;
  const early = precision.shares[0]!.share;
  const late = precision.shares[1]!.share;
  return `${pairs} A shift from ${inHundred(early)} to ${inHundred(late)} in 100 would be noticed in ${inTenRaces(power)} such races.`;
}
