import type { Attempt } from '../../records/attempt.ts';
import type { Pushed } from '../../wire/wire.ts';
import type { Fault } from '../fault.ts';
import type { Push } from './push.ts';

type Answer = Attempt<Pushed, Fault>;
/** Takes pushes of one race in one transaction: an answer for each, or none of them was taken. */
type Take = (raceNo: number, pushes: readonly Push[]) => Promise<readonly Answer[]>;

interface Waiting {
  readonly push: Push;
  readonly answered: (answer: Answer) => void;
  readonly failed: (reason: unknown) => void;
}

/** Records beyond which no further push is taken in the same transaction. */
const MOST_RECORDS_TOGETHER = 1000;
/** A push of so few is one of somebody who tallies, and so many of their records go in beside a full thousand. */
const FEW_RECORDS = 20;
const MOST_SMALL_BESIDE = 200;

/**
 * Lets the pushes of one race wait here while one is under way, and then takes all that wait in one transaction. At the
 * race's lock in the database each would hold a connection while it waits, PostgreSQL would not let them in in the order in
 * which they came, and as soon as they came faster than one transaction lasts they would wait longer and longer.
 */
export class PushQueue {
  readonly #take: Take;
  readonly #gather: (() => Promise<void>) | undefined;
  /** By race number; there while a push of the race is under way. */
  readonly #waiting = new Map<number, Waiting[]>();

  /**
   * @param gather resolves when what has reached the process meanwhile has been looked at: where the database answers at
   *   once, nothing would else come to wait here
   */
  constructor(take: Take, gather?: () => Promise<void>) {
    this.#take = take;
    this.#gather = gather;
  }

  /** Resolves with the answer when what was taken is on stable storage. */
  push(push: Push): Promise<Answer> {
    return new Promise((answered, failed) => {
      const last = { push, answered, failed };
      const waiting = this.#waiting.get(push.raceNo);
      if (waiting) waiting.push(last);
      else void this.#work(push.raceNo, [last]);
    });
  }

  async #work(raceNo: number, waiting: Waiting[]): Promise<void> {
    this.#waiting.set(raceNo, waiting);
    while (waiting.length > 0) {
      if (this.#gather) await this.#gather();
      await this.#takeTogether(raceNo, takeFitting(waiting));
    }
    this.#waiting.delete(raceNo);
  }

  async #takeTogether(raceNo: number, group: readonly Waiting[]): Promise<void> {
    try {
      const answers = await this.#take(
        raceNo,
        group.map(({ push }) => push),
      );
      group.forEach(({ answered }, i) => answered(answers[i] as Answer));
    } catch (error) {
      const [first] = group as [Waiting];
      if (group.length === 1) first.failed(error);
      // One that the database does not take must not take the others with it. At once: when it takes none for lack of an
      // answer, the last would wait for all the others' time-outs.
      else await Promise.all(group.map((one) => this.#takeTogether(raceNo, [one])));
    }
  }
}

/**
 * Takes the oldest and what fits beside it out of `waiting`. Small ones fit beside a large one too: who tallies must not
 * stand behind all who hand in a whole day.
 */
function takeFitting(waiting: Waiting[]): Waiting[] {
  let records = 0;
  let small = 0;
  const group: Waiting[] = [];
  const left: Waiting[] = [];
  for (const one of waiting) {
    const { length } = one.push.message.records;
    if (group.length === 0 || records + length <= MOST_RECORDS_TOGETHER) records += length;
    else if (length <= FEW_RECORDS && small + length <= MOST_SMALL_BESIDE) small += length;
    else {
      left.push(one);
      continue;
    }
    group.push(one);
  }
  waiting.splice(0, waiting.length, ...left);
  return group;
}
