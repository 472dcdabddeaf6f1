/** Controls but for line end and tab, and marks that turn the direction of what follows. */
// eslint-disable-next-line no-control-regex -- these are the characters to show by number
const STEERING = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

/**
 * The text with each character that steers a terminal shown by its number, as JSON writes it: what was JSON is the same
 * JSON.
 */
export function harmlessText(text: string): string {
  return text.replace(STEERING, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`);
}

/** Clears the line that a text with a carriage return at its start has written. */
export const CLEAR_LINE = '\r\u001b[K';

/** The same, but for the one carriage return with which a command writes over its own line of progress. */
export function harmlessLine(text: string): string {
  if (text === CLEAR_LINE) return text;
  return text.startsWith('\r') ? `\r${harmlessText(text.slice(1))}` : harmlessText(text);
}
