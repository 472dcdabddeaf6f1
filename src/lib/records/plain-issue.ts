import * as v from 'valibot';

const KINDS: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  boolean: 'true or false',
  Array: 'a list',
  Object: 'an object',
};

/**
 * A schema's complaint in plain words, with the place it is about before a colon: `id: is missing`. A complaint for which
 * the schema has words of its own keeps them.
 */
export function plainIssue(issue: v.BaseIssue<unknown>): string {
  const path = v.getDotPath(issue);
  const text = issueWords(issue);
  return path === null ? text : `${path}: ${text}`;
}

/** The same without the place. */
export function issueWords(issue: v.BaseIssue<unknown>): string {
  // The library's own words begin so; a schema's own words do not.
  if (!issue.message.startsWith('Invalid ')) return issue.message;
  const { kind, expected, received, requirement, input } = issue;
  if (kind === 'schema' && received === 'undefined') return 'is missing';
  if (kind === 'schema' && expected === 'never') return 'is no field that belongs here';
  if (kind === 'schema' && expected !== null)
    return `expected ${wanted(expected)}, found ${KINDS[received] ?? received}`;
  const one = requirement === 1;
  const unit = Array.isArray(input) ? (one ? 'entry' : 'entries') : one ? 'character' : 'characters';
  switch (issue.type) {
    case 'min_length':
      return `expected at least ${String(requirement)} ${unit}`;
    case 'max_length':
      return `expected at most ${String(requirement)} ${unit}`;
    case 'min_value':
      return `expected at least ${String(requirement)}`;
    case 'gt_value':
      return `expected more than ${String(requirement)}`;
    case 'max_value':
      return `expected at most ${String(requirement)}`;
    case 'integer':
    case 'safe_integer':
      return `expected a whole number, found ${received}`;
    default:
      return issue.message;
  }
}

/** `("left" | "right" | null)` as `"left", "right" or null`. */
function wanted(expected: string): string {
  const choices = expected.replace(/^\((.*)\)$/, '$1').split(' | ');
  const named = choices.map((choice) => KINDS[choice] ?? choice);
  const last = named.at(-1) ?? '';
  return named.length > 1 ? `${named.slice(0, -1).join(', ')} or ${last}` : last;
}
