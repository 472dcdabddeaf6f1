const LONGEST = 60;
/** Controls, bidi marks and the like: in a terminal they can do harm, on a screen they hide what is there. */
// eslint-disable-next-line no-control-regex -- these are the characters to show by number
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]/g;

/** A text from a file as messages quote it: on one line, cut when long, characters nobody can see by their number. */
export function shownText(text: string): string {
  const oneLine = text.replace(/\s+/g, ' ');
  const cut = oneLine.length > LONGEST ? `${oneLine.slice(0, LONGEST)}…` : oneLine;
  return cut.replace(UNPRINTABLE, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`);
}
