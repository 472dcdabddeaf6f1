import type * as v from 'valibot';
import type { Role } from '../roles.ts';

/** All that the house has to know of a kind of record. Hub, store, pull, hand-off file and list of changes read it here. */
export interface KindEntry {
  /** Stands for the kind where it is stored as a number. Never changed, never used again. */
  readonly number: number;
  readonly schema: v.GenericSchema<unknown, { readonly kind: string }>;
  /** The least role whose token may bring such a record to the hub. */
  readonly leastRole: Role;
  /** The kinds that its `target` may be of; `null` for a kind without a target. */
  readonly targets: readonly string[] | 'any' | null;
  /**
   * Whether an observer gets records of this kind that are its own, or that say something of its own; `everyone`: all of
   * them, whoever made them.
   */
  readonly toObservers: boolean | 'everyone';
  /** Whether it counts as a runner tallied while no withdrawal in force targets it. */
  readonly tallied: boolean;
  /**
   * What it decides, for kinds of which the latest stands: its target, or a place of its own. Records of one subject get
   * times in the order in which they are made, so that a wrong clock cannot win. `null` where nothing competes.
   */
  readonly subject: 'target' | readonly string[] | null;
}
