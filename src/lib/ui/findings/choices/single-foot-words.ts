import type { SingleFootRule } from '../../../sightings/runner-classes.ts';

/** What becomes of “a runner with one foot seen”, as it is chosen. */
export const SINGLE_FOOT_WORDS: Record<SingleFootRule, string> = {
  exclude: 'is not classified',
  use: 'counts by that foot',
};
