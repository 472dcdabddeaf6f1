import { RUNNER_CLASSES } from '../../../records/foot.ts';
import type { Corrected, PracticeCorrection, ValidatedCheckpoint, Validation } from './corrected.ts';

/** Below this many validated runners in a stratum the corrected difference is a hint (contract of the figures). */
const FEW_VALIDATED = 10;

const one = (n: number, word: string, many = `${word}s`): string => `${n} ${n === 1 ? word : many}`;
const sum = (counts: readonly number[]): number => counts.reduce((total, count) => total + count, 0);

export const CLIP_IS_TRUTH =
  'For the correction the clip counts as the truth, seen from the side that observers stand on.';
export const CHOSEN_BLIND =
  'Of the runners with one live class, those reviewed on clip must have been chosen without looking at how they ran; more of a rarer class helps.';
export const ERRS_AS_PRACTISED =
  'For the correction by practice, observers are taken to err at the race as in the practice set, at both checkpoints and whatever the light, crowd and speed.';
export const STAYS_OUTSIDE =
  'Corrected shares, like the observed ones, leave out unclassified, disputed and walking runners.';

/** What a reader of the corrected figures must know, and why each `null` among them is one. */
export function correctedNotes(corrected: Corrected | null, fewestInPairs: number | null): string[] {
  if (!corrected)
    return ['corrected is null: nobody was classed both live and on clip, and no practice set was given.'];
  const { validation, practice } = corrected;
  return [
    ...(validation
      ? validationNotes(validation, fewestInPairs)
      : ['validation is null: nobody was classed both live and on clip.']),
    ...(practice ? practiceNotes(practice) : ['practice is null: no practice set was given.']),
    STAYS_OUTSIDE,
    ...(validation && practice ? ['Both corrections are there: sentences use validation, which rests on less.'] : []),
  ];
}

function validationNotes({ checkpoints, difference }: Validation, fewestInPairs: number | null): string[] {
  const notes = [CLIP_IS_TRUTH, CHOSEN_BLIND, ...checkpoints.flatMap(validatedCheckpointNotes)];
  if (!difference) return [...notes, 'difference of validation is null: there is one checkpoint only.'];
  const { early, late, paired, corrected } = difference;
  if (paired === 0) {
    notes.push(
      `The figures in difference of validation are null: no runner has a live class at both ${early} and ${late}.`,
    );
  } else if (corrected.difference === null) {
    notes.push(
      `corrected in difference of validation is null: of the ${one(paired, 'runner')} with a live class at both, fewer than two of one live class were validated at ${early} or ${late}.`,
    );
  } else if (fewestInPairs !== null && fewestInPairs < FEW_VALIDATED) {
    notes.push(
      `The corrected difference rests on ${one(fewestInPairs, 'validated runner')} in one of its groups: fewer than ${FEW_VALIDATED} give no more than a hint.`,
    );
  }
  return notes;
}

function validatedCheckpointNotes(at: ValidatedCheckpoint): string[] {
  const { checkpoint, classes, clipOnly, live, pooled } = at;
  const notes: string[] = [];
  if (live === 0) {
    notes.push(
      `All corrected figures of validation at ${checkpoint} are null: no runner has a class by live sightings.`,
    );
  } else if (classes.rearfoot.share === null) {
    notes.push(`The corrected shares of validation at ${checkpoint} are null: ${tooFew(at)}.`);
  } else if (pooled) {
    notes.push(
      `At ${checkpoint} one of midfoot, forefoot and asymmetric has fewer than 5 validated runners, so the three are taken together: the validated must have been chosen without regard to which of the three was read.`,
    );
  }
  if (clipOnly > 0) {
    notes.push(
      `Not used at ${checkpoint}: ${one(clipOnly, 'runner')} with a class by clip but none by live sightings.`,
    );
  }
  return notes;
}

/** Which live class was validated too little. */
function tooFew({ classes, live, table }: ValidatedCheckpoint): string {
  const validated = table.map(sum);
  const rearfoot = Math.round((classes.rearfoot.observed ?? 0) * live);
  return rearfoot > 0 && validated[0]! < 2
    ? `of ${one(rearfoot, 'runner')} read rearfoot ${validated[0]} ${validated[0] === 1 ? 'was' : 'were'} validated, and two are needed`
    : `of ${one(live - rearfoot, 'runner')} read midfoot, forefoot or asymmetric fewer than two were validated`;
}

function practiceNotes({ checkpoints, difference, observers }: PracticeCorrection): string[] {
  const notes = [ERRS_AS_PRACTISED];
  const strangers = sum(checkpoints.map(({ unpractised }) => unpractised));
  const untried = observers.filter(({ practised }) => !practised).map(({ observer }) => observer);
  if (untried.length > 0) {
    notes.push(`Fewer than 5 used answers for one of the classes, so readings are not used: ${untried.join(', ')}.`);
  }
  if (strangers > 0) {
    const where = checkpoints
      .filter(({ unpractised }) => unpractised > 0)
      .map(({ checkpoint, unpractised }) => `${unpractised} at ${checkpoint}`);
    notes.push(
      `Left out of the correction by practice, by observers who have not practised: ${one(strangers, 'reading')} (${where.join(', ')}).`,
    );
  }
  for (const at of checkpoints) {
    const { checkpoint, classes, matrix } = at;
    if (!matrix) {
      notes.push(
        `All corrected figures of practice at ${checkpoint} are null: no live reading there is by an observer who has practised.`,
      );
      continue;
    }
    if (classes.rearfoot.raw === null) {
      notes.push(
        `The corrected shares of practice at ${checkpoint} are null: ${classesReadWrong(matrix)} was read right no more often than not, which cannot be corrected.`,
      );
      continue;
    }
    const beyond = RUNNER_CLASSES.filter((name) => classes[name].raw !== classes[name].share);
    if (beyond.length > 0) {
      notes.push(
        `raw of practice at ${checkpoint} lies outside 0 to 1 for ${beyond.join(', ')}: observers erred otherwise at the race than in the practice set, or by chance.`,
      );
    }
    const unfit = RUNNER_CLASSES.filter((name) => classes[name].low === null);
    if (unfit.length > 0) {
      notes.push(
        `The interval of practice at ${checkpoint} is null for ${unfit.join(', ')}: it lies wholly outside 0 to 1, so practice and race do not fit.`,
      );
    }
  }
  if (!difference) return [...notes, 'difference of practice is null: there is one checkpoint only.'];
  return [...notes, ...practisedDifferenceNotes(difference)];
}

function practisedDifferenceNotes({ corrected, early, late, paired }: NonNullable<PracticeCorrection['difference']>) {
  if (paired === 0) {
    return [
      `The figures in difference of practice are null: no runner was read by a practised observer at both ${early} and ${late}.`,
    ];
  }
  if (corrected.difference === null) {
    return [
      `corrected in difference of practice is null: for the runners read at both, a class was read right no more often than not.`,
    ];
  }
  return corrected.low === null
    ? ['low and high in difference of practice are null: nothing varied, and no variation seen is no certainty.']
    : [];
}

function classesReadWrong(matrix: readonly (readonly number[])[]): string {
  return RUNNER_CLASSES.filter((_, k) => !(matrix[k]![k]! > 0.5 + 1e-9)).join(' and ');
}
