import * as v from 'valibot';
import { issueWords } from '../records/plain-issue.ts';
import { failed, succeeded, type Attempt } from '../records/attempt.ts';
import { planSchema, type GivenPlan } from './plan-schema.ts';
import { resolvePlan } from './resolve-plan.ts';
import { changeCells } from './change-cells.ts';

/** What is wrong with a plan: each as `checkpoints[1].km: 50 lies beyond the course of 42.195 km`. */
export interface PlanFaults {
  readonly type: 'plan faults';
  readonly faults: readonly string[];
}

/** More changed than there are, save for the last digits. */
const ROUNDING = 1e-12;

/**
 * Reads a plan as it stands in a JSON file. An unknown name is a fault, so that a misspelt one does not become a default.
 *
 * @param json what was parsed, of whatever kind
 */
export function readPlan(json: unknown): Attempt<GivenPlan, PlanFaults> {
  const read = v.safeParse(planSchema, json);
  const faults = read.success ? crossFaults(read.output) : read.issues.map(issueText);
  return read.success && faults.length === 0
    ? succeeded(read.output)
    : failed({ type: 'plan faults', faults } as const);
}

function issueText(issue: v.BaseIssue<unknown>): string {
  const path = (issue.path ?? []).reduce((text, { key }) => {
    if (typeof key === 'number') return `${text}[${String(key)}]`;
    return text === '' ? String(key) : `${text}.${String(key)}`;
  }, '');
  return path === '' ? issueWords(issue) : `${path}: ${issueWords(issue)}`;
}

function crossFaults(plan: GivenPlan): string[] {
  return [...checkpointFaults(plan), ...namedFaults(plan), ...changeFaults(plan)];
}

function checkpointFaults({ checkpoints, km }: GivenPlan): string[] {
  return checkpoints.flatMap((checkpoint, i) => {
    const place = `checkpoints[${String(i)}]`;
    const beyond =
      checkpoint.km > km ? [`${place}.km: ${String(checkpoint.km)} lies beyond the course of ${String(km)} km`] : [];
    const first = checkpoints.findIndex(({ name }) => name === checkpoint.name);
    const twice = first < i ? [`${place}.name: checkpoints[${String(first)}] is "${checkpoint.name}" too`] : [];
    return [...beyond, ...twice];
  });
}

function namedFaults({ checkpoints, early, late }: GivenPlan): string[] {
  const names = checkpoints.map(({ name }) => name);
  const unknown = Object.entries({ early, late }).flatMap(([member, name]) =>
    name === undefined || names.includes(name)
      ? []
      : [`${member}: there is no checkpoint "${name}"; the checkpoints are ${names.join(', ')}`],
  );
  if (unknown.length > 0) return unknown;
  const kms = checkpoints.map(({ km }) => km);
  const kmOf = (name: string | undefined, without: number): number =>
    checkpoints.find((checkpoint) => checkpoint.name === name)?.km ?? without;
  const first = kmOf(early, Math.min(...kms));
  const last = kmOf(late, Math.max(...kms));
  if (last >= first) return [];
  const member = late === undefined ? 'early' : 'late';
  return [`${member}: the late checkpoint lies before the early one, at ${String(last)} and ${String(first)} km`];
}

function changeFaults(plan: GivenPlan): string[] {
  const { rearfootEarly, gained, lost } = changeCells(resolvePlan(plan, false).plan.shift);
  if (lost > rearfootEarly + ROUNDING) {
    return [
      `shift.changed: ${shown(lost)} of the runners would change from rearfoot, where ${shown(rearfootEarly)} of them have it`,
    ];
  }
  if (gained > 1 - rearfootEarly + ROUNDING) {
    return [
      `shift.changed: ${shown(gained)} of the runners would change to rearfoot, where ${shown(1 - rearfootEarly)} of them have another`,
    ];
  }
  return [];
}

const shown = (x: number): string => String(Number(x.toFixed(4)));
