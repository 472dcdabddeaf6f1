import { FOOT_CLASSES, RUNNER_CLASSES } from '../records/foot.ts';
import { CLIP, gaitOf, leftOf, LIVE, methodOf, rightOf, RULING, UNSEEN, WALK } from './seen.ts';
import { type SightingTable } from './sighting-table.ts';
import type { UsedSightings } from './used-sightings.ts';

/** What a runner can come out as at a checkpoint, as small integers: the classes first, in their order. */
export const OUTCOMES = [...RUNNER_CLASSES, 'unclassified', 'disputed', 'walking'] as const;
export type RunnerOutcome = (typeof OUTCOMES)[number];
export const REARFOOT = OUTCOMES.indexOf('rearfoot');
export const ASYMMETRIC = OUTCOMES.indexOf('asymmetric');
export const UNCLASSIFIED = OUTCOMES.indexOf('unclassified');
export const DISPUTED = OUTCOMES.indexOf('disputed');
export const WALKING = OUTCOMES.indexOf('walking');

/** Whether a runner outcome is one of the four classes: only these count in shares and tests. */
export const isClassified = (outcome: number): boolean => outcome < UNCLASSIFIED;

/** What one foot can come out as, as small integers: the values an observer can give, then `disputed`. */
export const FOOT_OUTCOMES = [...FOOT_CLASSES, 'unseen', 'disputed'] as const;
export type FootOutcome = (typeof FOOT_OUTCOMES)[number];
const FOOT_DISPUTED = FOOT_OUTCOMES.indexOf('disputed');

/** What a runner came out as at a checkpoint. */
export interface SeenOutcome {
  readonly outcome: RunnerOutcome;
  readonly left: FootOutcome;
  readonly right: FootOutcome;
}

/** `exclude`: a runner with one foot seen is unclassified. `use`: that foot's class is the runner's. */
export const SINGLE_FOOT_RULES = ['exclude', 'use'] as const;
export type SingleFootRule = (typeof SINGLE_FOOT_RULES)[number];

/** Each bib at each checkpoint where it was sighted, in columns, sorted by bib, then checkpoint. */
export interface RunnerClasses {
  readonly size: number;
  /** Place in the table's `bibs`. */
  readonly bib: Int32Array;
  /** Place in the table's `checkpoints`. */
  readonly checkpoint: Int32Array;
  /** Place in `OUTCOMES`. */
  readonly outcome: Uint8Array;
  /** Place in `FOOT_OUTCOMES`, of the running sightings. */
  readonly left: Uint8Array;
  readonly right: Uint8Array;
  /** 1 where the runner ran; 0 where walking or of disputed gait. */
  readonly running: Uint8Array;
  /** The entries of bib `b` are those from `first[b]` to `first[b + 1]` (not included). */
  readonly first: Int32Array;
}

/** Step 5 for one foot: the class most observers gave it, from the votes for each class. */
function footOutcome(votes: Int32Array): number {
  let winner = UNSEEN;
  let top = 0;
  let tied = false;
  for (let foot = 0; foot < UNSEEN; foot += 1) {
    const count = votes[foot]!;
    if (count > top) {
      winner = foot;
      top = count;
      tied = false;
    } else if (count === top) tied = true;
  }
  if (top === 0) return UNSEEN;
  return tied ? FOOT_DISPUTED : winner;
}

/** Step 6 for a runner whose gait is not in dispute and who did not walk; feet as their places in `FOOT_OUTCOMES`. */
export function runnerOutcome(left: number, right: number, singleFoot: SingleFootRule): number {
  if (left === FOOT_DISPUTED || right === FOOT_DISPUTED) return DISPUTED;
  if (left !== UNSEEN && right !== UNSEEN) return left === right ? left : ASYMMETRIC;
  if (left === right || singleFoot === 'exclude') return UNCLASSIFIED;
  return left === UNSEEN ? right : left;
}

/** Step 3: which of the sightings of one bib at one checkpoint decide: a ruling, else clips, else live ones. */
function decidingMethod(seen: Uint16Array, from: number, to: number): number {
  let live = false;
  let clipSays = false;
  for (let i = from; i < to; i += 1) {
    const what = seen[i]!;
    const method = methodOf(what);
    if (method === RULING) return RULING;
    if (method !== CLIP) live = true;
    else if (leftOf(what) !== UNSEEN || rightOf(what) !== UNSEEN || gaitOf(what) === WALK) clipSays = true;
  }
  return clipSays || !live ? CLIP : LIVE;
}

/** Steps 3 to 6: from the sightings that count to one outcome for each bib at each checkpoint. Linear. */
export function runnerClasses(
  table: SightingTable,
  used: UsedSightings,
  singleFoot: SingleFootRule = 'exclude',
): RunnerClasses {
  const { seen } = used;
  const { length } = seen;
  const columns = {
    bib: new Int32Array(length),
    checkpoint: new Int32Array(length),
    outcome: new Uint8Array(length),
    left: new Uint8Array(length),
    right: new Uint8Array(length),
    running: new Uint8Array(length),
  };
  const first = new Int32Array(table.bibs.length + 1);
  const leftVotes = new Int32Array(UNSEEN + 1);
  const rightVotes = new Int32Array(UNSEEN + 1);
  let size = 0;
  let to = 0;
  while (to < length) {
    const from = to;
    const bib = used.bib[from]!;
    const checkpoint = used.checkpoint[from]!;
    to += 1;
    while (to < length && used.bib[to] === bib && used.checkpoint[to] === checkpoint) to += 1;

    const method = decidingMethod(seen, from, to);
    let walk = 0;
    let run = 0;
    leftVotes.fill(0);
    rightVotes.fill(0);
    for (let i = from; i < to; i += 1) {
      const what = seen[i]!;
      if (methodOf(what) !== method) continue;
      if (gaitOf(what) === WALK) {
        walk += 1;
        continue;
      }
      run += 1;
      leftVotes[leftOf(what)]! += 1;
      rightVotes[rightOf(what)]! += 1;
    }
    const left = footOutcome(leftVotes);
    const right = footOutcome(rightVotes);
    const running = walk < run;
    const notRunning = walk > run ? WALKING : DISPUTED;
    columns.bib[size] = bib;
    columns.checkpoint[size] = checkpoint;
    columns.left[size] = left;
    columns.right[size] = right;
    columns.running[size] = running ? 1 : 0;
    columns.outcome[size] = running ? runnerOutcome(left, right, singleFoot) : notRunning;
    size += 1;
    first[bib + 1] = size;
  }
  // A bib without an entry begins and ends where the one before it ends.
  for (let bib = 0; bib < table.bibs.length; bib += 1) first[bib + 1] = Math.max(first[bib + 1]!, first[bib]!);
  return {
    size,
    bib: columns.bib.subarray(0, size),
    checkpoint: columns.checkpoint.subarray(0, size),
    outcome: columns.outcome.subarray(0, size),
    left: columns.left.subarray(0, size),
    right: columns.right.subarray(0, size),
    running: columns.running.subarray(0, size),
    first,
  };
}
