import * as v from 'valibot';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import { issueWords } from '../../records/plain-issue.ts';
import type { FindingsRead } from './race-counts.ts';

const countSchema = v.pipe(v.number(), v.integer(), v.minValue(0));
const kmSchema = v.pipe(v.number(), v.finite(), v.minValue(0));
const figureSchema = v.nullable(v.pipe(v.number(), v.finite()));

/** The analysis contract by which the members have their meaning. */
const CONTRACT = 1;
/** What a file says of itself; a file that says nothing, or something else, is read all the same. */
const aboutSchema = v.object({
  contract: v.optional(v.number()),
  race: v.fallback(v.optional(v.object({ name: v.string(), date: v.string() })), undefined),
});

const findingsSchema = v.object({
  about: v.fallback(v.optional(aboutSchema), undefined),
  shares: v.pipe(
    v.array(
      v.object({
        checkpoint: v.string(),
        km: kmSchema,
        classified: countSchema,
        classes: v.object({ rearfoot: v.object({ count: countSchema }) }),
      }),
    ),
    v.minLength(1),
  ),
  shift: v.nullable(
    v.object({
      early: v.string(),
      late: v.string(),
      paired: countSchema,
      commonObservers: v.optional(countSchema),
      rearfoot: v.object({ gained: countSchema, lost: countSchema }),
      trend: v.object({ coefficient: figureSchema, se: v.nullable(v.pipe(v.number(), v.finite(), v.minValue(0))) }),
    }),
  ),
});

/** What is wrong with findings that were read from a file, one sentence a fault, each with its place. */
export interface FindingsFaults {
  readonly type: 'no-findings';
  readonly faults: readonly string[];
}

/** Reads what pooling needs of findings as `kerbside analyse --json` printed them. Other members are not looked at. */
export function readFindings(text: string): Attempt<FindingsRead, FindingsFaults> {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\ufeff/, ''));
  } catch {
    return failed({ type: 'no-findings', faults: ['is not JSON; expected what kerbside analyse --json prints'] });
  }
  const other = otherContract(value);
  if (other) return failed({ type: 'no-findings', faults: [other] });
  const read = v.safeParse(findingsSchema, value);
  if (!read.success) {
    return failed({ type: 'no-findings', faults: read.issues.map((issue) => faultWords(issue)) });
  }
  const faults = contradictions(read.output);
  return faults.length > 0 ? failed({ type: 'no-findings', faults }) : succeeded(read.output);
}

/** Findings of another version of the program may use the same words for other figures. */
function otherContract(value: unknown): string | null {
  const read = v.safeParse(v.object({ about: aboutSchema }), value);
  const contract = read.success ? (read.output.about.contract ?? CONTRACT) : CONTRACT;
  return contract === CONTRACT
    ? null
    : `is of another version of the program: its figures follow analysis contract ${contract}, expected ${CONTRACT}`;
}

/** `shares[0].classes.rearfoot.count is missing`. */
function faultWords(issue: v.BaseIssue<unknown>): string {
  const place = (issue.path ?? [])
    .map(({ key }, i) => (typeof key === 'number' ? `[${key}]` : `${i === 0 ? '' : '.'}${String(key)}`))
    .join('');
  const words = issueWords(issue);
  if (place === '') return `is no findings: ${words}`;
  return words === 'is missing' ? `${place} is missing` : `${place}: ${words}`;
}

/** Counts that cannot be of one race. */
function contradictions({ shares, shift }: FindingsRead): string[] {
  const faults = shares.flatMap(({ classified, classes }, i) =>
    classes.rearfoot.count > classified
      ? [`shares[${i}].classes.rearfoot.count is ${classes.rearfoot.count}, more than classified (${classified})`]
      : [],
  );
  if (!shift) return faults;
  for (const which of ['early', 'late'] as const) {
    if (!shares.some(({ checkpoint }) => checkpoint === shift[which])) {
      faults.push(`shift.${which} is "${shift[which]}", which is no checkpoint in shares`);
    }
  }
  const { gained, lost } = shift.rearfoot;
  if (gained + lost > shift.paired) {
    faults.push(`shift.rearfoot.gained and lost are ${gained} and ${lost}, more than paired (${shift.paired})`);
  }
  return faults;
}
