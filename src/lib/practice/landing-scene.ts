import { seededRandom } from '../records/seeded-random.ts';
import type { Landing } from './landing.ts';
import { runnerBody, type RunnerBody } from './runner-figure.ts';

/** Another runner who passes behind or before the one that is asked about. */
export interface PassingBy {
  readonly body: RunnerBody;
  readonly before: boolean;
  /** How far ahead this runner is at the marked contact, metres. */
  readonly ahead: number;
  /** Their own clock against that of the marked foot, milliseconds. */
  readonly offset: number;
}

/** All that is drawn of one item. */
export interface LandingScene {
  readonly landing: Landing;
  readonly body: RunnerBody;
  readonly others: readonly PassingBy[];
}

/** Nearer than this another runner would stand over the landing itself, metres; farther than that, out of sight. */
const NEAREST = 0.5;
const FARTHEST = 1.3;
/** The seed of the body is `clutterSeed`; the others' must be another row. */
const OTHERS = 0x6b79;

/** The runner of a landing, and the others about. What others do has nothing to do with the class. */
export function landingScene(landing: Landing): LandingScene {
  const random = seededRandom(landing.clutterSeed ^ OTHERS);
  const others = Array.from({ length: landing.clutter }, (): PassingBy => {
    const motion = {
      angle: -10 + 30 * random(),
      speed: landing.speed * (0.94 + 0.12 * random()),
      contactMs: landing.contactMs * (0.95 + 0.1 * random()),
      shank: 5 + 8 * (random() - 0.5),
      cadence: landing.cadence + 10 * (random() - 0.5),
      clutterSeed: Math.floor(random() * 2 ** 32),
    };
    const side = random() < 0.5 ? -1 : 1;
    return {
      body: runnerBody(motion),
      before: random() < 0.4,
      ahead: side * (NEAREST + (FARTHEST - NEAREST) * random()),
      offset: 700 * random(),
    };
  });
  return { landing, body: runnerBody(landing), others };
}

/** From when to when a runner is in sight, milliseconds from contact, where `half` metres of road are seen to each side. */
export function timeInSight({ speed }: Pick<Landing, 'speed'>, half: number): { from: number; to: number } {
  return { from: (-1000 * (half + 0.5)) / speed, to: (1000 * (half + 1)) / speed };
}
