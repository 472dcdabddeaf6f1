/** What stands at the head of Shift, wherever it has a section of its own. */
export const NO_CAUSE_OF_SHIFT =
  'A shift says nothing of its cause: speed, shoe, slope, fatigue and walking all move the foot.';

/** What stands at the head of Finish time, wherever it has a section of its own. */
export const NO_CAUSE_OF_TIME =
  'A class that goes with a finish time need not be its cause: speed itself moves the foot.';

const NO_DIAGNOSIS = 'A class seen at one step is no diagnosis.';
const NO_ADVICE =
  'Nothing here speaks of injury or running economy: nobody should change how they run without a qualified professional.';
const NAMES_A_PERSON = 'A bib and public results name a person: share findings by group, or with the runner’s consent.';

/** What is left to be said below the sections. */
export const CAUTIONS_BELOW: readonly string[] = [NO_DIAGNOSIS, NO_ADVICE, NAMES_A_PERSON];

/** What every reader of findings must be told, where there are no sections to say a part of it. */
export const FINDINGS_CAUTIONS: readonly string[] = [
  ...[NO_DIAGNOSIS, NO_CAUSE_OF_SHIFT, NO_ADVICE],
  ...[NO_CAUSE_OF_TIME, NAMES_A_PERSON],
];
