import { dueAbout, expectedPassings, type ExpectedPassing } from '$lib/check/times/expected-passings.ts';
import type { CheckInput } from '$lib/check/input/check-input.ts';
import type { Race } from '$lib/race/race.ts';
import { entriesOf, type RaceView } from '$lib/sightings/race-view.ts';

/** Runners that were drawn for review at one checkpoint, in the order drawn. */
export interface DrawnForReview {
  readonly checkpoint: string;
  readonly bibs: readonly string[];
}

/** One runner to review. What observers called live is not said: whoever reviews stays blind. */
export interface ReviewToDo {
  readonly bib: string;
  /** When the runner should pass, milliseconds since 1970; `null` when nothing tells. */
  readonly atMs: number | null;
  readonly isReviewed: boolean;
}

export interface ReviewPlan {
  readonly checkpoint: Race['checkpoints'][number];
  readonly toDo: readonly ReviewToDo[];
}

/** When everybody should pass a checkpoint, worked out once for each that is asked about. */
export class Passings {
  readonly #input: CheckInput;
  readonly #known = new Map<string, readonly ExpectedPassing[]>();

  constructor(input: CheckInput) {
    this.#input = input;
  }

  at(checkpoint: string): readonly ExpectedPassing[] {
    const index = this.#input.checkpoints.findIndex(({ id }) => id === checkpoint);
    if (index < 0) return [];
    let known = this.#known.get(checkpoint);
    if (!known) this.#known.set(checkpoint, (known = expectedPassings(this.#input, index)));
    return known;
  }

  /** Bibs that are due at a checkpoint about an instant, the likeliest first. */
  dueAt(checkpoint: string, ms: number, most: number): string[] {
    return dueAbout(this.at(checkpoint), ms, most);
  }
}

/** The draws in force as lists to work through: of each checkpoint's draws the last, ticked off by the clips that are there. */
export function reviewPlans(view: RaceView, draws: readonly DrawnForReview[], passings: Passings): ReviewPlan[] {
  const reviewed = new Set<string>();
  for (const { checkpoint, bib, method } of entriesOf(view)) {
    if (method === 'clip' && bib !== null) reviewed.add(`${checkpoint}\n${bib}`);
  }
  return view.race.checkpoints.flatMap((checkpoint) => {
    const draw = draws.findLast((one) => one.checkpoint === checkpoint.name);
    if (!draw) return [];
    const at = new Map(passings.at(checkpoint.id).map(({ bib, atMs }) => [bib, atMs]));
    const toDo = draw.bibs.map((bib) => ({
      bib,
      atMs: at.get(bib) ?? null,
      isReviewed: reviewed.has(`${checkpoint.id}\n${bib}`),
    }));
    return [{ checkpoint, toDo }];
  });
}
