import { RUNNER_CLASSES, type RunnerClass } from '../../../records/foot.ts';
import { seededRandom } from '../../../records/seeded-random.ts';
import type { ResolvedRace } from '../../resolved-race.ts';
import { seenTwice } from './seen-twice.ts';
import { validationSizes } from './validation-sizes.ts';

/** A runner to review on clip, with the class that observers called live when the draw was made. */
export interface DrawnRunner {
  readonly bib: string;
  readonly live: RunnerClass;
}

/** A draw as it is kept with the race: it is never changed, only followed by another. */
export interface ValidationDraw {
  readonly checkpoint: string;
  /** `null` in an export with codes, which does not tell it. */
  readonly seed: number | null;
  /** RFC 3339. */
  readonly drawnAt: string;
  /** In the order in which to review them. */
  readonly runners: readonly DrawnRunner[];
}

/** How far the draws at one checkpoint have been worked through. */
export interface ValidationState {
  readonly checkpoint: string;
  /** Runners by live class, in class order, and how many of each a draw would take. */
  readonly read: readonly number[];
  readonly sizes: readonly number[];
  /** Earliest first; the last one is in force. */
  readonly draws: readonly {
    readonly seed: number | null;
    readonly drawnAt: string;
    readonly runners: readonly (DrawnRunner & { readonly reviewed: boolean })[];
  }[];
  /** Bibs reviewed on clip that no draw has: chosen by hand, so no random part. By code point. */
  readonly beyond: readonly string[];
}

/** Runners with a live class at a checkpoint, and which of them have a class by clip. */
function readAt({ table }: ResolvedRace, seen: ReturnType<typeof seenTwice>, place: number) {
  const read: (DrawnRunner & { reviewed: boolean })[] = [];
  table.bibs.forEach((bib, b) => {
    for (let i = seen.first[b]!; i < seen.first[b + 1]!; i += 1) {
      if (seen.checkpoint[i] !== place) continue;
      read.push({ bib, live: RUNNER_CLASSES[seen.live[i]!]!, reviewed: seen.clip[i]! >= 0 });
    }
  });
  return read;
}

const countByClass = (read: readonly DrawnRunner[]): number[] =>
  RUNNER_CLASSES.map((name) => read.filter(({ live }) => live === name).length);

/**
 * Draws the runners to review on clip at a checkpoint: at random within each live class, more of the rarer ones. Classes
 * are mixed in the order drawn, so that whoever stops early has reviewed a random part of each.
 *
 * @param place of the checkpoint in the table
 * @param seed any integer; the same seed on the same sightings draws the same runners
 */
export function drawValidation(race: ResolvedRace, place: number, seed: number): DrawnRunner[] {
  const read = readAt(race, seenTwice(race, 'exclude'), place);
  const sizes = validationSizes(countByClass(read));
  const random = seededRandom(seed);
  const drawn = RUNNER_CLASSES.flatMap((name, i) =>
    shuffled(
      read.filter(({ live }) => live === name),
      random,
    ).slice(0, sizes[i]),
  );
  return shuffled(drawn, random).map(({ bib, live }) => ({ bib, live }));
}

function shuffled<Item>(items: readonly Item[], random: () => number): Item[] {
  const out = [...items];
  for (let i = out.length - 1; i > 0; i -= 1) {
    const j = Math.floor(random() * (i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}

/** How far each checkpoint's draws are worked through, ticked off by the clips that are there. */
export function validationStates(
  race: ResolvedRace,
  draws: readonly ValidationDraw[],
  places: readonly number[],
): ValidationState[] {
  const seen = seenTwice(race, 'exclude');
  return places.map((place) => {
    const checkpoint = race.table.checkpoints[place]!.name;
    const read = readAt(race, seen, place);
    const reviewed = new Set(read.flatMap((runner) => (runner.reviewed ? [runner.bib] : [])));
    const here = draws.filter((draw) => draw.checkpoint === checkpoint);
    const drawn = new Set(here.flatMap(({ runners }) => runners.map(({ bib }) => bib)));
    const counts = countByClass(read);
    return {
      checkpoint,
      read: counts,
      sizes: validationSizes(counts),
      draws: here.map(({ seed, drawnAt, runners }) => ({
        ...{ seed, drawnAt },
        runners: runners.map((runner) => ({ ...runner, reviewed: reviewed.has(runner.bib) })),
      })),
      beyond: [...reviewed].filter((bib) => !drawn.has(bib)),
    };
  });
}
