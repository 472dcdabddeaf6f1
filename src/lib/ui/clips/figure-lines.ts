import { angleClass, strikeIndex } from '$lib/clips/angles.ts';
import { nearnessOf, type Passage, type PassageMark } from '$lib/clips/passage.ts';
import { readPassage } from '$lib/clips/read-passage.ts';
import { cadenceOf, stepFigures } from '$lib/clips/step-figures.ts';

/** Figures of one step or of the passage, as lines to read. */
export interface FigureLine {
  readonly title: string;
  readonly detail: string;
}

/** What the marks of a passage measure so far: a line for each step, then the cadence. */
export function figureLines(passage: Passage): FigureLine[] {
  const reading = readPassage(passage.marks);
  const cadence = cadenceOf(passage, reading);
  const lines = reading.steps.map((step): FigureLine => {
    const on = reading.marks[step.contact]!;
    const off = reading.marks[step.toeoff]!;
    const { contact, strikeAngle, shankAngle } = stepFigures(passage, reading, step);
    const time = contact
      ? `${contact.value.toFixed(3)} s (${(contact.value - off.gapSeconds).toFixed(3)} to ${(contact.value + on.gapSeconds).toFixed(3)})`
      : on.doubtful || off.doubtful
        ? 'doubtful'
        : 'not timed at this rate';
    return {
      title: `${on.foot} foot, ${nearnessOf(passage, on.foot)} · contact ${time}`,
      detail: [
        ...(strikeAngle ? [strikeWords(strikeAngle.value, strikeAngle.pointVariance)] : []),
        ...touchWords(on),
        ...(shankAngle
          ? [`shank ${Math.abs(shankAngle.value).toFixed(1)}° ${shankAngle.value >= 0 ? 'ahead' : 'behind'}`]
          : []),
      ].join(' · '),
    };
  });
  return cadence ? [...lines, { title: `${cadence.value.toFixed(0)} steps a minute`, detail: '' }] : lines;
}

function touchWords({ points: { heel, toe, touch } }: PassageMark): string[] {
  const index = heel && toe && touch ? strikeIndex({ heel, toe }, touch) : null;
  return index === null ? [] : [`touches ${index.toFixed(0)} % along the shoe`];
}

function strikeWords(degrees: number, variance: number): string {
  const sign = degrees < 0 ? '−' : '';
  return `strike ${sign}${Math.abs(degrees).toFixed(1)}° ± ${Math.sqrt(variance).toFixed(1)}, by angle ${angleClass({ degrees, variance })}`;
}
