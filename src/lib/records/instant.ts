/** RFC 3339 in UTC with milliseconds, the one form in which records carry an instant: `2026-10-04T07:30:05.120Z`. */
const UTC_MILLISECONDS = /^\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])T(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/;

/** Whether `text` is an existing instant written as records write it. */
export function isUtcInstant(text: string): boolean {
  if (!UTC_MILLISECONDS.test(text)) return false;
  const ms = Date.parse(text);
  // Date.parse takes 31 February for 3 March: writing it back shows the difference.
  return Number.isFinite(ms) && new Date(ms).toISOString() === text;
}

/** Milliseconds since 1970-01-01T00:00Z as records write them. Throws on a number outside the range of dates. */
export function utcInstant(ms: number): string {
  return new Date(ms).toISOString();
}
