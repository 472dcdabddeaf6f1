import { failed, succeeded, type Attempt } from '../records/attempt.ts';

/** Places, in the order of km, of the two checkpoints between which a shift is looked for. */
export interface EarlyAndLate {
  readonly early: number;
  readonly late: number;
}

/** The names of the two checkpoints to compare, where they were given. */
export interface CheckpointChoice {
  readonly early?: string | undefined;
  readonly late?: string | undefined;
}

export type WrongCheckpoint =
  | { readonly type: 'no-such-checkpoint'; readonly option: 'early' | 'late'; readonly name: string }
  | { readonly type: 'same-checkpoint'; readonly name: string };

/** The checkpoints of least and of greatest km; with a single one both are it. */
export function defaultPlaces(checkpoints: readonly { readonly name: string }[]): EarlyAndLate {
  return { early: 0, late: Math.max(0, checkpoints.length - 1) };
}

/**
 * The early and the late checkpoint that were asked for by name, else those of least and of greatest km. The only place
 * that says which they are.
 *
 * @param checkpoints by km
 */
export function earlyAndLate(
  checkpoints: readonly { readonly name: string }[],
  asked: CheckpointChoice,
): Attempt<EarlyAndLate, WrongCheckpoint> {
  const places = { ...defaultPlaces(checkpoints) };
  for (const option of ['early', 'late'] as const) {
    const name = asked[option];
    if (name === undefined) continue;
    places[option] = checkpoints.findIndex((one) => one.name === name);
    if (places[option] < 0) return failed({ type: 'no-such-checkpoint', option, name });
  }
  if (checkpoints.length > 1 && places.early === places.late) {
    return failed({ type: 'same-checkpoint', name: checkpoints[places.early]!.name });
  }
  return succeeded(places);
}
