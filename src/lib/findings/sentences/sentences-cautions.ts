/** What every reader of findings must be told, on the screen and in print. */
export const FINDINGS_CAUTIONS: readonly string[] = [
  'A class seen at one step is no diagnosis. Speed, shoe, slope, fatigue and walking all move it.',
  'Nothing here speaks of injury or running economy: nobody should change how they run without a qualified professional.',
  'A class that goes with a finish time need not be its cause: speed itself moves the foot.',
  'A bib and public results name a person: share findings by group, or with the runner’s consent.',
];
