import type { Updateable } from 'kysely';
import type { HubTables, RaceLogRow } from './hub-tables.ts';
import type { PushEntry } from '../push/push.ts';
import { checkpointOf } from '../push/record-references.ts';

/** A race's log in the transaction that has locked its row, and what came to it there. */
export class GrowingLog {
  readonly row: RaceLogRow;
  readonly checkpoints: ReadonlySet<string>;
  readonly added: PushEntry[] = [];
  last: number;
  #early = 0;

  constructor(row: RaceLogRow) {
    this.row = row;
    this.checkpoints = new Set(JSON.parse(row.checkpoints) as string[]);
    this.last = row.last_arrival;
  }

  /** `last` is where the log ends now, `early` how many of `added` wait for what they are about. */
  grow(added: readonly PushEntry[], last: number, early: number): void {
    this.added.push(...added);
    this.last = last;
    this.#early += early;
  }

  /** What its row has to say in the end. */
  changes(): Updateable<HubTables['race_logs']> {
    const used = new Set(JSON.parse(this.row.used) as string[]);
    const before = used.size;
    for (const { sound } of this.added) {
      const checkpoint = checkpointOf(sound.record);
      if (checkpoint !== undefined) used.add(checkpoint);
    }
    return {
      last_arrival: this.last,
      ...(used.size > before ? { used: JSON.stringify([...used]) } : {}),
      ...(this.#early > 0 ? { early: this.row.early + this.#early } : {}),
    };
  }
}
