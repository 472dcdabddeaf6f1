/** What is counted while a table is read, and how it is said. `n` is how often, `rows` the first rows. */
const COUNTED = {
  'repeated heading': (n: number, rows: string) => `The headings stand again in ${rows}: left out (${n}).`,
  apostrophe: (n: number, rows: string) =>
    `${n} ${n === 1 ? 'bib was' : 'bibs were'} read without the apostrophe in front (${rows}).`,
  'decimal comma': (n: number, rows: string) =>
    `${n} decimal ${n === 1 ? 'comma was' : 'commas were'} read as ${n === 1 ? 'a decimal point' : 'decimal points'} (${rows}).`,
  'other format': (n: number, rows: string) =>
    `${n} ${n === 1 ? 'time' : 'times'} in another format ${n === 1 ? 'was' : 'were'} read as h:mm:ss (${rows}).`,
  'no finish word': (n: number, rows: string) =>
    `${n} ${n === 1 ? 'runner has' : 'runners have'} a word such as DNF in place of a time: no finish, the word is kept as status (${rows}).`,
  'short finish': (n: number, rows: string) =>
    `${n} finish ${n === 1 ? 'time is' : 'times are'} below one minute (${rows}): check that the column holds seconds or h:mm:ss.`,
  'impossible finish': (n: number, rows: string) =>
    `${n} finish ${n === 1 ? 'time is' : 'times are'} too fast or too slow for this distance and ${n === 1 ? 'was' : 'were'} taken as ${n === 1 ? 'it stands' : 'they stand'} (${rows}): is it the right race, and no other in the same file?`,
  'finish despite status': (n: number, rows: string) =>
    `${n} ${n === 1 ? 'runner has' : 'runners have'} a status such as DNF and a finish time too: the time was taken (${rows}).`,
  'age of a year': (n: number, rows: string) =>
    `${n} ${n === 1 ? 'age is' : 'ages are'} the one reached in the year of the race, as only a year of birth is given (${rows}).`,
  'age of a date': (n: number, rows: string) =>
    `${n} ${n === 1 ? 'age was' : 'ages were'} counted from the date of birth to the day of the race (${rows}).`,
  'wall clock': (n: number, rows: string) =>
    `${n} ${n === 1 ? 'start was read as a wall-clock time' : 'starts were read as wall-clock times'} on the day of the race (${rows}).`,
} as const;
export type Counted = keyof typeof COUNTED;

const ROWS_NAMED = 3;

/** Collects what a reader must say: sentences once, and counts with the first rows they are about. */
export class RemarkCounter {
  readonly #sentences: string[] = [];
  readonly #counts = new Map<Counted, { n: number; rows: number[] }>();

  say(sentence: string): void {
    this.#sentences.push(sentence);
  }

  count(what: Counted, row: number): void {
    const entry = this.#counts.get(what) ?? { n: 0, rows: [] };
    entry.n += 1;
    if (entry.rows.length < ROWS_NAMED) entry.rows.push(row);
    this.#counts.set(what, entry);
  }

  sentences(): string[] {
    const counted = [...this.#counts].map(([what, { n, rows }]) => {
      const more = n > rows.length ? ' …' : '';
      return COUNTED[what](n, `${rows.length === 1 ? 'row' : 'rows'} ${rows.join(', ')}${more}`);
    });
    return [...this.#sentences, ...counted];
  }
}
