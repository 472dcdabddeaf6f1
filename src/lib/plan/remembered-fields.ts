import { passingField } from './passing-field.ts';
import type { Plan } from './resolve-plan.ts';

/** Fields kept at once: a few places, and where they stood before. */
const MOST = 16;

/**
 * The passing fields drawn up last. Moving an observer or changing the rule leaves them as they are, and moving one
 * checkpoint leaves the others: drawing up 40,000 runners is most of the work of a plan.
 */
export class RememberedFields {
  readonly #fields = new Map<string, ReturnType<typeof passingField>>();
  #finishes: ArrayLike<number> | null = null;

  /** As `passingField`; the field of a runner list that is the same by its values is not drawn up again. */
  readonly passingField: typeof passingField = (plan, at, finishes) => {
    if (!sameValues(finishes, this.#finishes)) this.#fields.clear();
    this.#finishes = finishes;
    const key = keyOf(plan, at);
    const known = this.#fields.get(key);
    if (known) return known;
    if (this.#fields.size >= MOST) this.#fields.clear();
    const field = passingField(plan, at, finishes);
    this.#fields.set(key, field);
    return field;
  };
}

const keyOf = ({ starters, km, field }: Plan, at: number): string => JSON.stringify([starters, km, field, at]);

function sameValues(a: ArrayLike<number> | null, b: ArrayLike<number> | null): boolean {
  if (a === b) return true;
  if (a === null || b === null || a.length !== b.length) return false;
  for (let i = 0; i < a.length; i += 1) if (a[i] !== b[i]) return false;
  return true;
}
