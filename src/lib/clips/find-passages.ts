/** A coarse grey picture of a clip's frame: rows of 0 to 255 from the top. */
export interface CoarsePicture {
  readonly frame: number;
  /** Recorded time, seconds. */
  readonly seconds: number;
  readonly grey: Uint8Array;
}

/** Where somebody passes: frames of a clip, the first and the last in which the middle third moves. */
export interface FoundPassage {
  readonly from: number;
  readonly to: number;
}

/** Size of the coarse picture. */
export const COARSE = { width: 48, height: 27 } as const;
/** Columns of the middle third, and of the gate in its middle that tells runners apart who follow each other closely. */
const THIRD = { from: 16, to: 32 } as const;
const GATE = { from: 22, to: 26 } as const;

// All by trial on drawn and noisy clips (common practice, no source).
/** Pictures over which the background is the middle value of each cell: it runs along with light and shadow. */
const BACKGROUND_PICTURES = 90;
/** A cell moves when it differs from the background by so many grey levels, or by so many times the clip's own noise. */
const LEAST_DIFFERENCE = 14;
const TIMES_NOISE = 6;
/** Shares of the cells that move: somebody comes, and is gone. */
const COMES = 0.025;
const GOES = 0.012;
/** In the gate somebody is there, and is not. */
const GATE_COMES = 0.05;
/** Shorter movements are no runner; shorter breaks are none. Seconds of recorded time. */
const SHORTEST_SECONDS = 0.08;
const BREAK_SECONDS = 0.12;
/** Whoever passes crosses so much of the middle third; leaves in the wind do not. */
const LEAST_CROSSED = 0.35;

/** How much of the middle third moves in one picture, and where. */
interface Motion {
  readonly frame: number;
  readonly seconds: number;
  readonly third: number;
  readonly gate: number;
  /** First and last column that moves, shares of the third's width. */
  readonly left: number;
  readonly right: number;
}

/**
 * Finds where somebody passes: motion across the middle third of the picture against a running background. Pictures come
 * in the order of their frames, some ten to thirty a second of recorded time; a runner needs a third of a second or more.
 */
export class PassageFinder {
  readonly #pictures: CoarsePicture[] = [];
  readonly #motions: Motion[] = [];

  push(picture: CoarsePicture): void {
    this.#pictures.push(picture);
    // With the background known on both sides of the older half, that half is done.
    if (this.#pictures.length >= 2 * BACKGROUND_PICTURES) this.#judge(BACKGROUND_PICTURES);
  }

  /** What has been found so far; with `isEnd` of all pictures. */
  found(isEnd = false): FoundPassage[] {
    if (isEnd) this.#judge(this.#pictures.length);
    return passagesOf(this.#motions);
  }

  #judge(count: number): void {
    const background = backgroundOf(this.#pictures);
    const differences = this.#pictures.map(({ grey }) => differencesOf(grey, background));
    const least = Math.max(LEAST_DIFFERENCE, TIMES_NOISE * noiseOf(differences));
    this.#pictures.splice(0, count).forEach((picture, i) => {
      this.#motions.push(motionOf(picture, differences[i]!, least));
    });
  }
}

const middleOf = (sorted: ArrayLike<number>): number => sorted[sorted.length >> 1] ?? 0;

/** The middle value of each cell. */
function backgroundOf(pictures: readonly CoarsePicture[]): Uint8Array {
  const background = new Uint8Array(COARSE.width * COARSE.height);
  const values = new Uint8Array(pictures.length);
  for (let cell = 0; cell < background.length; cell += 1) {
    pictures.forEach(({ grey }, i) => (values[i] = grey[cell]!));
    background[cell] = middleOf(values.sort());
  }
  return background;
}

/** How far each cell lies from the background, less what all cells do together: a cloud before the sun is no runner. */
function differencesOf(grey: Uint8Array, background: Uint8Array): Int16Array {
  const differences = Int16Array.from(grey, (value, cell) => value - background[cell]!);
  const light = middleOf(differences.toSorted());
  return differences.map((difference) => difference - light);
}

/** How far cells usually lie from the background. */
function noiseOf(pictures: readonly Int16Array[]): number {
  const middles = pictures.map((differences) => middleOf(differences.map(Math.abs).sort()));
  return middleOf(middles.sort((a, b) => a - b));
}

function motionOf({ frame, seconds }: CoarsePicture, differences: Int16Array, least: number): Motion {
  const width = THIRD.to - THIRD.from;
  let [third, gate, left, right] = [0, 0, width, 0];
  for (let y = 0; y < COARSE.height; y += 1) {
    for (let x = THIRD.from; x < THIRD.to; x += 1) {
      if (Math.abs(differences[y * COARSE.width + x]!) < least) continue;
      third += 1;
      if (x >= GATE.from && x < GATE.to) gate += 1;
      left = Math.min(left, x - THIRD.from);
      right = Math.max(right, x - THIRD.from);
    }
  }
  return {
    ...{ frame, seconds },
    third: third / (width * COARSE.height),
    gate: gate / ((GATE.to - GATE.from) * COARSE.height),
    ...{ left: left / width, right: right / width },
  };
}

/** Stretches of pictures, first and last place of each, in which something holds. */
function stretchesOf(motions: readonly Motion[], comes: (one: Motion) => boolean, goes: (one: Motion) => boolean) {
  const stretches: [from: number, to: number][] = [];
  let from = -1;
  motions.forEach((motion, i) => {
    if (from < 0 && comes(motion)) from = i;
    if (from < 0 || !goes(motion)) return;
    stretches.push([from, i - 1]);
    from = -1;
  });
  if (from >= 0) stretches.push([from, motions.length - 1]);
  return stretches;
}

function passagesOf(motions: readonly Motion[]): FoundPassage[] {
  const moving = stretchesOf(
    motions,
    ({ third }) => third >= COMES,
    ({ third }) => third < GOES,
  );
  return moving
    .filter(([from, to]) => isCrossed(motions.slice(from, to + 1)))
    .flatMap((whole) => parted(motions, whole));
}

/** Whether what moves went through the gate and from one side of the third towards the other. */
function isCrossed(motions: readonly Motion[]): boolean {
  const [first, last] = [motions[0]!, motions.at(-1)!];
  const middle = ({ left, right }: Motion) => (left + right) / 2;
  const crossed = motions.map(middle);
  const reach = Math.max(...crossed) - Math.min(...crossed);
  return (
    reach >= LEAST_CROSSED &&
    last.seconds - first.seconds >= SHORTEST_SECONDS &&
    motions.some(({ gate }) => gate >= GATE_COMES)
  );
}

/** Runners who follow each other closely are parted where the gate is empty between them. */
function parted(motions: readonly Motion[], [from, to]: readonly [number, number]): FoundPassage[] {
  const own = motions.slice(from, to + 1);
  const seconds = (place: number) => own[place]!.seconds;
  const pulses: [number, number][] = [];
  for (const pulse of stretchesOf(
    own,
    ({ gate }) => gate >= GATE_COMES,
    ({ gate }) => gate < GATE_COMES / 2,
  )) {
    const last = pulses.at(-1);
    if (last && seconds(pulse[0]) - seconds(last[1]) < BREAK_SECONDS) last[1] = pulse[1];
    else pulses.push(pulse);
  }
  return pulses.map(([first, last], i) => ({
    from: own[i === 0 ? 0 : Math.max(first - 1, pulses[i - 1]![1] + 1)]!.frame,
    to: own[i === pulses.length - 1 ? own.length - 1 : last]!.frame,
  }));
}
