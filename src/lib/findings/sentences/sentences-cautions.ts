/** What every reader of findings must be told, on the screen and in print. */
export const FINDINGS_CAUTIONS: readonly string[] = [
  'A class seen at one step is no diagnosis. Speed, shoe, slope, fatigue and walking all move it.',
  'These figures say nothing about injury or running economy. Nobody should change how they run because of them without a qualified professional.',
  'That a class goes along with a finish time does not make it the cause: speed itself moves the foot.',
  'Bib numbers together with public results name people: share findings by group, not by runner, unless the runner agrees.',
];
