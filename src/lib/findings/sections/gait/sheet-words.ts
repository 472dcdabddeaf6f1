import { counted, decimal } from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { RunnerFigures } from './runner-figures.ts';
import { figureWords } from './words.ts';

/** Below it the ankle counts as under the knee: a point is hardly set better (common practice, no source). */
const UNDER_KNEE_DEGREES = 2;

/** What one runner is told of the clips at a place: the figures, and how far frames and points leave them open. */
export function runnerFiguresWords({ checkpoint, steps, figures }: RunnerFigures): Sentence[] {
  const { contact, cadence, shankAngle } = figures;
  const within = (value: number, digits: number) => `± ${decimal(2 * value, digits)}`;
  return [
    ...(contact
      ? [
          say`On clips at ${checkpoint}, ${counted(steps, 'step')}: on the ground for ${strong(figureWords('contact', contact.value))} (${within(contact.sd, 3)} by the camera’s frames).`,
        ]
      : []),
    ...(cadence
      ? [
          say`Cadence ${strong(figureWords('cadence', cadence.value))} (${within(cadence.sd, 1)}) at that speed. 5 % more would be ${decimal(cadence.value * 1.05, 0)}, 10 % ${decimal(cadence.value * 1.1, 0)}, for somebody whom a professional advised so.`,
        ]
      : []),
    ...(shankAngle ? [kneeSentence(shankAngle.value, shankAngle.sd)] : []),
  ];
}

function kneeSentence(degrees: number, sd: number): Sentence {
  const size = `${decimal(Math.abs(degrees), 1)}° (± ${decimal(2 * sd, 1)})`;
  if (Math.abs(degrees) < UNDER_KNEE_DEGREES) return say`The foot came down about under the knee, shank ${size}.`;
  return say`The foot came down ${strong(degrees > 0 ? 'ahead of the knee' : 'behind the knee')}, shank ${size}.`;
}

/** Stands once below the figures. */
export const RUNNER_FIGURES_CAUTION =
  'These are a few steps before one camera, at the speed of that moment. None of these numbers is an instruction; a cadence to aim at is for a professional to advise.';
