const APOSTROPHE = 0x27;
/** First characters that make a spreadsheet program take a cell for a formula or a command. */
const FORMULA_START = /^[=+\-@\t\r\n＝＋－＠]/;
/** What `guardCell` has put an apostrophe before. The apostrophe itself is among them, or reading back would be a guess. */
const GUARDED = /^'[=+\-@\t\r\n＝＋－＠']/;

/**
 * Makes free text safe to open in a spreadsheet: a text that begins with `=`, `+`, `-`, `@`, a tab, a line end or a
 * full-width form of these, or with an apostrophe, gets one apostrophe in front. `unguardCell` takes it off again.
 */
export function guardCell(text: string): string {
  return FORMULA_START.test(text) || text.startsWith("'") ? `'${text}` : text;
}

/**
 * The text that `guardCell` was given. A cell that no guard has touched stays as it is, save for one that begins with an
 * apostrophe and one of the guarded characters.
 */
export function unguardCell(cell: string): string {
  // Nearly every cell of a large list is passed over by its first letter.
  return cell.charCodeAt(0) === APOSTROPHE && GUARDED.test(cell) ? cell.slice(1) : cell;
}

/** Where the text of a cell begins in its bytes: after the apostrophe, if `guardCell` has put one there. */
export function unguardedStart(bytes: Uint8Array, from: number, to: number): number {
  if (from === to || bytes[from] !== APOSTROPHE) return from;
  return GUARDED.test(new TextDecoder().decode(bytes.subarray(from, to))) ? from + 1 : from;
}
