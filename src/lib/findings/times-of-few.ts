import type { Findings } from './findings.ts';
import { recordBy } from './record-by.ts';
import { RUNNER_CLASSES } from '../records/foot.ts';
import { LEAST_GROUP } from './which-test.ts';

/** The findings with no time of a class of fewer than five: it would be a person's. A note says so. */
export function withoutTimesOfFew(findings: Findings): Findings {
  const { finish } = findings;
  if (!finish) return findings;
  const few = RUNNER_CLASSES.filter((name) => finish.groups[name].n > 0 && finish.groups[name].n < LEAST_GROUP);
  if (few.length === 0) return findings;
  const groups = recordBy(RUNNER_CLASSES, (name) =>
    few.includes(name)
      ? { n: finish.groups[name].n, median: null, q1: null, q3: null, mean: null }
      : finish.groups[name],
  );
  const note = `Times are withheld for ${few.join(', ')}: fewer than ${LEAST_GROUP} runners.`;
  return { ...findings, finish: { ...finish, groups }, notes: [...findings.notes, note] };
}
