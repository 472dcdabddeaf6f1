/** A range of bibs names at most this many, so that a slip of the hand does not name the whole field. */
const LONGEST_RANGE = 2000;
const RANGE = /^(\d{1,9})\s*[-–]\s*(\d{1,9})$/;

/**
 * Bibs as a coach types them: with commas, semicolons or spaces between, and ranges of numbers such as `120-135`. A hyphen
 * with anything but a greater number behind it belongs to the bib.
 *
 * @returns each bib once, in the order typed
 */
export function bibSelection(typed: string): string[] {
  const parts = typed
    .replace(/\s*[-–]\s*(?=\d)/g, '-')
    .split(/[\s,;]+/)
    .filter((part) => part !== '');
  return [...new Set(parts.flatMap(bibsOf))];
}

function bibsOf(part: string): string[] {
  const [, first, last] = RANGE.exec(part) ?? [];
  if (first === undefined || last === undefined) return [part];
  const [from, to] = [Number(first), Number(last)];
  if (to <= from || to - from >= LONGEST_RANGE) return [part];
  return Array.from({ length: to - from + 1 }, (_, i) => String(from + i).padStart(first.length, '0'));
}
