import * as v from 'valibot';
import { type Outcome, succeeded } from '../records/outcome.ts';
import { type Fault, fault } from './fault.ts';
import { firstIssue } from './first-issue.ts';

/** Parses a body and holds it against a schema. */
export function parseJson<S extends v.GenericSchema>(text: string, schema: S): Outcome<v.InferOutput<S>, Fault> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return fault('malformed', 'The body is not JSON.');
  }
  const parsed = v.safeParse(schema, value, { abortEarly: true });
  return parsed.success ? succeeded(parsed.output) : fault('malformed', firstIssue(parsed.issues));
}
