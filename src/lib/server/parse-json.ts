import * as v from 'valibot';
import { type Attempt, succeeded } from '../records/attempt.ts';
import { type Fault, fault } from './fault.ts';
import { firstIssue } from './first-issue.ts';

/** Parses a body and holds it against a schema. */
export function parseJson<S extends v.GenericSchema>(text: string, schema: S): Attempt<v.InferOutput<S>, Fault> {
  if (isTooDeep(text)) return fault('malformed', `The body is nested deeper than ${MOST_LEVELS} levels.`);
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return fault('malformed', 'The body is not JSON.');
  }
  const parsed = v.safeParse(schema, value, { abortEarly: true });
  return parsed.success ? succeeded(parsed.output) : fault('malformed', firstIssue(parsed.issues));
}

/** No message has more than five levels. What has a hundred thousand takes seconds to parse and to hold against a schema. */
const MOST_LEVELS = 32;
const QUOTE = 0x22;
const BACKSLASH = 0x5c;

/** Whether brackets and braces outside texts stand within each other too often; nothing is parsed for it. */
function isTooDeep(text: string): boolean {
  let depth = 0;
  for (let at = 0; at < text.length; at += 1) {
    const sign = text.charCodeAt(at);
    // Bit 5 is all that tells `[` from `{` and `]` from `}`.
    if ((sign | 0x20) === 0x7b) {
      depth += 1;
      if (depth > MOST_LEVELS) return true;
    } else if ((sign | 0x20) === 0x7d) depth -= 1;
    else if (sign === QUOTE) {
      for (at += 1; at < text.length && text.charCodeAt(at) !== QUOTE; at += 1)
        if (text.charCodeAt(at) === BACKSLASH) at += 1;
    }
  }
  return false;
}
