import type { Findings } from './findings.ts';
import { recordBy } from './record-by.ts';
import { RUNNER_CLASSES } from '../records/foot.ts';
import { hasFewInAQuarter, LEAST_GROUP } from './which-test.ts';

/** The findings with no time of a class or a quarter of fewer than five: it would be a person's. A note says so. */
export function withoutTimesOfFew(findings: Findings): Findings {
  return withoutCutsOfFew(withoutClassesOfFew(findings));
}

function withoutCutsOfFew(findings: Findings): Findings {
  const { finish } = findings;
  if (!finish?.quarters.cuts || !hasFewInAQuarter(finish.quarters)) return findings;
  const note = `cuts of quarters are withheld: a quarter has fewer than ${LEAST_GROUP} runners.`;
  return {
    ...findings,
    finish: { ...finish, quarters: { ...finish.quarters, cuts: null } },
    notes: [...findings.notes, note],
  };
}

function withoutClassesOfFew(findings: Findings): Findings {
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
