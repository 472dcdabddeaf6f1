/** What a cell of a finish column says. */
export type FinishCell =
  | { kind: 'time'; seconds: number; form: 'plain' | 'decimal comma' | 'other format' }
  | { kind: 'none'; status?: string }
  | { kind: 'fault' };

/** Words for "no finish", compared without case, accents, blanks and punctuation. From general knowledge. */
const NO_FINISH = [
  ...['dnf', 'did not finish', 'not finished', 'retired', 'withdrawn', 'withdrew', 'abandoned', 'abandon', 'ab', 'abd'],
  ...[
    'aufgegeben',
    'ausgeschieden',
    'aufgabe',
    'abandono',
    'ritirato',
    'rit',
    'uitgevallen',
    'opgave',
    'brutt',
    'brøt',
  ],
  ...['keskeytti', 'kesk', 'nie ukończył', 'otl', 'over time limit', 'hors délai', 'hd'],
  ...['dns', 'did not start', 'not started', 'no show', 'absent', 'nicht gestartet', 'nicht angetreten', 'non partant'],
  ...['np', 'no salió', 'no presentado', 'non partito', 'niet gestart', 'ej start', 'ikke startet', 'ei lähtenyt'],
  ...['dq', 'dsq', 'disq', 'disqualified', 'disqualifiziert', 'disqualifié', 'descalificado', 'squalificato'],
  ...['aufg', 'ausgestiegen', 'aussteiger', 'nicht im ziel', 'retiré', 'arrêt', 'non classé', 'nc', 'hors temps'],
  ...['cut off', 'missed cut off', 'no time', 'out of time', 'fuera de tiempo', 'fuori tempo', 'fuori tempo massimo'],
  ...['gediskwalificeerd', 'diskvalificeret', 'diskad', 'hylätty', 'dyskwalifikacja'],
];
/** Words for "nothing known": no finish, and no status either. */
const UNKNOWN = new Set(['na', 'null', 'none']);

const plainWord = (text: string) =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}]/gu, '');
const NO_FINISH_WORDS = new Set(NO_FINISH.map(plainWord));

/** Whether a word, such as that of a status column, says that its runner has no finish. */
export const isNoFinish = (word: string): boolean => NO_FINISH_WORDS.has(plainWord(word));

/** Dashes, dots and empty clocks that stand for nothing. */
const NOTHING = /^[-–—.:_\s]*$/;
const SECONDS = /^(\d+)(?:[.,](\d+))?$/;
const MINUTES = /^(\d+):([0-5]?\d)(?:[.,](\d+))?$/;
const HOURS = /^(\d+):([0-5]?\d):([0-5]?\d)(?:[.,](\d+))?$/;
/** Hundredths behind a fourth colon. */
const HUNDREDTHS = /^(\d+):([0-5]\d):([0-5]\d):(\d\d)$/;
/** `1h02'03`, `1 h 02 min 03 s`, `1.02.03`: written so in some countries, and not to be mistaken for anything else. */
const OTHER =
  /^(?:(\d+)\s*(?:h|std\.?|u)\s*)?(\d{1,2})\s*(?:['’′]|m|min\.?|mn)\s*([0-5]?\d)\s*(?:["”″]|''|s|sec\.?|sek\.?)?$/i;
const DOTTED = /^(\d+)\.([0-5]\d)\.([0-5]\d)(?:,(\d+))?$/;

/** What programs set before a duration that they keep as a date or as days: `30.12.1899 03:12:45`, `0 days 03:12:45`. */
const NO_DAYS =
  /^(?:0 days?,? \+?|(?:1899-12-3[01]|1900-01-0[01]|3[01][./-]12[./-](?:18)?99|0?[01][./-]0?1[./-](?:19)?00)[ T])(?=\d{1,2}:\d\d:\d\d)/;
/** A duration of ISO 8601 below a day: `PT3H12M45S`. */
const ISO_DURATION = /^PT(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)(?:[.,](\d+))?S)?$/;

function time(text: string, h: string, m: string, s: string, decimals: string | undefined): FinishCell {
  const seconds = Number(h) * 3600 + Number(m) * 60 + Number(decimals === undefined ? s : `${s}.${decimals}`);
  if (!(seconds > 0) || !Number.isFinite(seconds)) return { kind: 'fault' };
  return { kind: 'time', seconds, form: text.includes(',') ? 'decimal comma' : 'plain' };
}

/**
 * Reads a finish: `h:mm:ss` or `m:ss` with optional decimals (point or comma), or plain seconds, greater than 0. Empty, a
 * dash, or a word such as DNF (then the status) is no finish. Anything else, 0 and 1:75:00 included, is a fault.
 */
export function finishOf(cell: string): FinishCell {
  const plain = secondsOfPlain(cell);
  if (plain > 0) return { kind: 'time', seconds: plain, form: 'plain' };
  const given = cell.trim();
  const text = given.replace(NO_DAYS, '');
  if (text === given) return finishOfClock(text);
  const read = finishOfClock(text);
  return read.kind === 'time' ? { ...read, form: 'other format' } : read;
}

/** The seconds of `h:mm:ss` or `hh:mm:ss`, as nearly all cells of a large list are written; −1 for any other. */
function secondsOfPlain(cell: string): number {
  const from = cell.length - 7;
  if ((from !== 0 && from !== 1) || cell.charCodeAt(from + 1) !== COLON || cell.charCodeAt(from + 4) !== COLON)
    return -1;
  const hours = digitAt(cell, from) + (from === 1 ? 10 * digitAt(cell, 0) : 0);
  const [tens, minutes] = [digitAt(cell, from + 2), digitAt(cell, from + 3)];
  const [tensOfSeconds, seconds] = [digitAt(cell, from + 5), digitAt(cell, from + 6)];
  if (!(hours >= 0 && tens < 6 && minutes >= 0 && tensOfSeconds < 6 && seconds >= 0)) return -1;
  return hours * 3600 + (tens * 10 + minutes) * 60 + tensOfSeconds * 10 + seconds;
}

const COLON = 0x3a;

/** The digit at a place; NaN for what is none. */
function digitAt(text: string, at: number): number {
  const digit = text.charCodeAt(at) - 0x30;
  return digit >= 0 && digit <= 9 ? digit : Number.NaN;
}

function finishOfClock(text: string): FinishCell {
  if (NOTHING.test(text)) return { kind: 'none' };
  const hours = HOURS.exec(text);
  if (hours) return time(text, hours[1]!, hours[2]!, hours[3]!, hours[4]);
  const hundredths = HUNDREDTHS.exec(text);
  if (hundredths) {
    const read = time(text, hundredths[1]!, hundredths[2]!, hundredths[3]!, hundredths[4]);
    return read.kind === 'time' ? { ...read, form: 'other format' } : read;
  }
  const minutes = MINUTES.exec(text);
  if (minutes) return time(text, '0', minutes[1]!, minutes[2]!, minutes[3]);
  const seconds = SECONDS.exec(text);
  if (seconds) return time(text, '0', '0', seconds[1]!, seconds[2]);
  const iso = ISO_DURATION.exec(text);
  if (iso) {
    const read = time(text, iso[1] ?? '0', iso[2] ?? '0', iso[3] ?? '0', iso[4]);
    return read.kind === 'time' ? { ...read, form: 'other format' } : read;
  }
  const dotted = DOTTED.exec(text);
  const other = dotted ?? OTHER.exec(text);
  if (other) {
    const read = time(text, other[1] ?? '0', other[2]!, other[3]!, dotted ? dotted[4] : undefined);
    return read.kind === 'time' ? { ...read, form: 'other format' } : read;
  }
  if (/\d/.test(text)) return { kind: 'fault' };
  const word = plainWord(text);
  if (UNKNOWN.has(word)) return { kind: 'none' };
  return NO_FINISH_WORDS.has(word) ? { kind: 'none', status: text } : { kind: 'fault' };
}

/** What a finish cell may hold, for messages. */
export const FINISH_EXPECTED = 'is not a finish time greater than 0 (h:mm:ss, m:ss or seconds) nor DNF, DNS or DQ';
