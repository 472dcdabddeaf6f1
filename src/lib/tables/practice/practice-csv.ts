import { FOOT_CLASSES, FOOT_VALUES } from '../../records/foot.ts';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import type { Answer, KeyItem } from '../../practice/key-and-answers.ts';
import type { Landing } from '../../practice/landing.ts';
import { csvLine } from '../csv/csv-line.ts';
import { readNamedRows, type NamedRow, type TableFaults } from '../csv/named-rows.ts';

const ANSWER_COLUMNS = ['session', 'observer', 'position', 'item', 'answer', 'response_ms'] as const;
const KEY_COLUMNS = ['item', 'class', 'foot', 'rate', 'level'] as const;
type PracticeColumn = (typeof ANSWER_COLUMNS)[number] | (typeof KEY_COLUMNS)[number] | 'set';

/** An answer and the row it stands in. */
interface AnswerRow {
  readonly row: number;
  readonly answer: Answer;
}

/** Between set and item in a name of both: no text of a cell has it. */
const BETWEEN = '\u001f';

/** One table of both may hold several sets, and each has a `d001` of its own: there a name is that of set and item. */
function itemOf(row: NamedRow<PracticeColumn>, oneTable: boolean): string | null {
  const item = row.filled('item');
  const set = oneTable ? row.text('set') : '';
  return item === null || set === '' ? item : `${set}${BETWEEN}${item}`;
}

/** How an item is named in a message. */
const shownItem = (item: string): string => item.split(BETWEEN).reverse().join(' of set ');

/**
 * Reads `answers.csv`.
 *
 * @param oneTable whether the key stands in the same table
 */
function readAnswers(bytes: Uint8Array, oneTable: boolean): Attempt<AnswerRow[], TableFaults> {
  const rows: AnswerRow[] = [];
  const read = readNamedRows<PracticeColumn>(bytes, ANSWER_COLUMNS, ['set'], (row) => {
    const session = row.filled('session');
    const observer = row.filled('observer');
    const position = row.number(
      'position',
      (value) => Number.isSafeInteger(value) && value >= 0,
      'a whole number of at least 0',
    );
    const item = itemOf(row, oneTable);
    const answer = row.word('answer', FOOT_VALUES);
    const responseMs = row.number('response_ms', (value) => value >= 0, 'a number of milliseconds of at least 0');
    if (session === null || observer === null || position === null || item === null) return;
    if (answer === null || responseMs === null) return;
    rows.push({ row: row.row, answer: { session, observer, position, item, answer, responseMs } });
  });
  return read.ok ? succeeded(rows) : read;
}

/**
 * Reads `key.csv`. An item twice in it is a fault, unless the answers stand in the same table: then each has its key beside
 * it, and only keys that differ are one.
 */
function readKey(bytes: Uint8Array, oneTable: boolean): Attempt<KeyItem[], TableFaults> {
  const items = new Map<string, { readonly row: number; readonly key: KeyItem }>();
  const read = readNamedRows<PracticeColumn>(bytes, KEY_COLUMNS, ['set'], (row) => {
    const key = keyOf(row, oneTable);
    if (!key) return;
    const known = items.get(key.item);
    if (!known) items.set(key.item, { row: row.row, key });
    else if (!oneTable) row.fault('item', `is in row ${known.row} already`, shownItem(key.item));
    else if (!sameKey(key, known.key)) {
      row.fault('item', `has another class, foot, rate or level in row ${known.row}`, shownItem(key.item));
    }
  });
  return read.ok ? succeeded([...items.values()].map(({ key }) => key)) : read;
}

function keyOf(row: NamedRow<PracticeColumn>, oneTable: boolean): KeyItem | null {
  const item = itemOf(row, oneTable);
  const name = row.word('class', FOOT_CLASSES);
  const foot = row.text('foot') === '' ? '' : row.word('foot', ['near', 'far'] as const);
  const rate = row.number('rate', (value) => value > 0, 'a speed of showing greater than 0; 1 is real speed');
  const level =
    row.text('level') === ''
      ? ''
      : row.number('level', (value) => [1, 2, 3, 4, 5].includes(value), 'a level from 1 to 5, or empty for a clip');
  if (item === null || name === null || foot === null || rate === null || level === null) return null;
  const set = (oneTable && row.text('set')) || undefined;
  return { item, class: name, foot: foot === '' ? null : foot, rate, level: level === '' ? null : level, set };
}

const sameKey = (a: KeyItem, b: KeyItem): boolean =>
  a.class === b.class && a.foot === b.foot && a.rate === b.rate && a.level === b.level;

/** Answers to no item of the key, as faults of the answers. */
function answersWithoutKey(rows: readonly AnswerRow[], key: readonly KeyItem[]): TableFaults | null {
  const known = new Set(key.map(({ item }) => item));
  const strangers = rows.filter(({ answer }) => !known.has(answer.item));
  if (strangers.length === 0) return null;
  const faults = strangers.slice(0, 20).map(({ row, answer }) => ({
    row,
    column: 'item',
    found: shownItem(answer.item),
    expected: 'is no item of the key',
  }));
  return { type: 'faults', faults, faultCount: strangers.length };
}

/** Both tables at once: all that is wrong with either. */
export interface PracticeTables {
  readonly answers: readonly Answer[];
  readonly key: readonly KeyItem[];
}

export interface PracticeTableFaults {
  readonly type: 'practice-faults';
  readonly answers: TableFaults | null;
  readonly key: TableFaults | null;
}

/** Reads answers and key; `keyBytes` `null` when the answers' file has the key's columns too. */
export function readPractice(
  answerBytes: Uint8Array,
  keyBytes: Uint8Array | null,
): Attempt<PracticeTables, PracticeTableFaults> {
  const oneTable = keyBytes === null;
  const answers = readAnswers(answerBytes, oneTable);
  const key = readKey(keyBytes ?? answerBytes, oneTable);
  if (!answers.ok || !key.ok) {
    return failed({
      type: 'practice-faults',
      answers: answers.ok ? null : answers.error,
      key: key.ok ? null : key.error,
    });
  }
  const strangers = answersWithoutKey(answers.value, key.value);
  if (strangers) return failed({ type: 'practice-faults', answers: strangers, key: null });
  return succeeded({ answers: answers.value.map(({ answer }) => answer), key: key.value });
}

/** The key of a drawn set as CSV. */
export function* keyCsv(landings: readonly Landing[]): Generator<string> {
  yield csvLine(KEY_COLUMNS);
  for (const { item, class: name, foot, rate, level } of landings) {
    yield csvLine([item, name, foot, String(rate), String(level)]);
  }
}
