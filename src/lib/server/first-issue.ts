import type * as v from 'valibot';
import { plainIssue } from '../records/plain-issue.ts';

const LONGEST_REASON = 200;

/** A schema's first complaint with the place it is about, short enough to show whatever was sent. */
export function firstIssue(issues: readonly v.BaseIssue<unknown>[]): string {
  const [issue] = issues;
  if (!issue) return 'not as expected';
  const text = plainIssue(issue);
  return text.length > LONGEST_REASON ? `${text.slice(0, LONGEST_REASON - 1)}…` : text;
}
