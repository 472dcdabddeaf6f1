import { UNPRINTABLE } from '../records/unprintable.ts';

const UNPRINTABLES = new RegExp(UNPRINTABLE.source, 'g');
const UNPAIRED_SURROGATES = /\p{Cs}/gu;
/** The fields that hold names and words of people. */
const WORDS = new Set(['name', 'team', 'sex', 'status']);

/**
 * A set-up or a list as it was stored before names were held to printable characters: each other one in a name is read as a
 * blank, so that what people have goes on reading.
 */
export function withPlainNames(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withPlainNames);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([field, within]) => [
      field,
      typeof within === 'string' && WORDS.has(field) ? plainName(within) : withPlainNames(within),
    ]),
  );
}

/** The same for JSON text; text without such characters as it is, without being parsed. */
export function jsonWithPlainNames(text: string): string {
  return MAY_BE_UNPRINTABLE.test(text) ? JSON.stringify(withPlainNames(JSON.parse(text))) : text;
}

/** JSON writes controls and unpaired surrogates by their number, and the others as they are. */
const MAY_BE_UNPRINTABLE = new RegExp(`${UNPRINTABLE.source}|\\\\[bfnrtu]`);

function plainName(text: string): string {
  const plain = text.replace(UNPAIRED_SURROGATES, '\ufffd').replace(UNPRINTABLES, ' ');
  return plain.trim() === '' ? '?' : plain;
}
