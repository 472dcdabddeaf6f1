import type { TallyRecord } from '../records/record.ts';

export interface SoundRecord {
  readonly record: TallyRecord;
  /** Its canonical form, which is what the hub keeps. */
  readonly line: string;
}

/**
 * Reads a list of records straight from JSON text. By hand: 50,000 records in 0.04 s of processor time; parsing all of it
 * and holding it against the schema takes 0.54 (`npm run bench by-hand`). Null when the text has another form than the one in which tablets and hub write it, which says nothing
 * against it.
 *
 * @param from where the first record begins
 * @param plainAt what is plainly a sound sighting at a place, or null
 * @param read what each other value is
 * @param most records at most: of a longer list the rest is not read, and its end is the comma after these
 * @returns the records, and where the list's closing bracket or what else follows the last one stands
 */
export function recordsInText<Plain extends { readonly line: string }, Read>(
  text: string,
  from: number,
  plainAt: (text: string, from: number) => Plain | null,
  read: (value: unknown) => Read,
  most = Infinity,
): { readonly records: (Plain | Read)[]; readonly end: number } | null {
  const records: (Plain | Read)[] = [];
  for (let at = from; ; at += 1) {
    const plain = plainAt(text, at);
    if (plain) {
      records.push(plain);
      at += plain.line.length;
    } else {
      const other = objectAt(text, at);
      if (!other) return null;
      records.push(read(other.value));
      at = other.end;
    }
    if (text[at] !== ',') return { records, end: at };
    if (records.length === most) return { records, end: at };
  }
}

/** A record has one object within it at most; what more braces there are stand in its note. */
const MOST_BRACES = 8;
/** No record comes near this many characters: longer texts are not parsed again and again to find its end. */
const LONGEST_OBJECT = 65_536;

/** The object that begins at `from`, or null when none ends at one of the next few braces. */
function objectAt(text: string, from: number): { readonly value: unknown; readonly end: number } | null {
  let end = from;
  for (let braces = 0; braces < MOST_BRACES; braces += 1) {
    end = text.indexOf('}', end) + 1;
    if (end === 0 || end - from > LONGEST_OBJECT) return null;
    try {
      return { value: JSON.parse(text.slice(from, end)) as unknown, end };
    } catch {
      // That brace stands within the object.
    }
  }
  return null;
}
