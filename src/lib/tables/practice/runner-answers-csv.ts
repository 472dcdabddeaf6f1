import { FOOT_CLASSES, FOOT_VALUES } from '../../records/foot.ts';
import { succeeded, type Attempt } from '../../records/attempt.ts';
import type { RunnerAnswer } from '../../practice/runner-answer.ts';
import { readNamedRows, type NamedRow, type TableFaults } from '../csv/named-rows.ts';

const COLUMNS = ['item', 'observer', 'key_left', 'key_right', 'left', 'right'] as const;
type Column = (typeof COLUMNS)[number];

/** What of the rows before matters to the next one. */
class AnswersSoFar {
  readonly #keys = new Map<string, { readonly row: number; readonly key: string }>();
  readonly #rowOfAnswer = new Map<string, number>();

  /** Whether the answer fits those before it; a fault is said through the row. */
  fits(row: NamedRow<Column>, { item, observer, keyLeft, keyRight }: RunnerAnswer): boolean {
    const key = `${keyLeft}, ${keyRight}`;
    const known = this.#keys.get(item);
    if (known && known.key !== key) {
      row.fault('item', `has another key (${known.key}) in row ${known.row}: an item has one key`, item);
      return false;
    }
    if (!known) this.#keys.set(item, { row: row.row, key });
    const answer = JSON.stringify([item, observer]);
    const earlier = this.#rowOfAnswer.get(answer);
    if (earlier !== undefined) {
      row.fault('item', `was answered by ${observer} in row ${earlier} already`, item);
      return false;
    }
    this.#rowOfAnswer.set(answer, row.row);
    return true;
  }
}

/**
 * Reads a practice set of whole runners with its key: one row for one item answered by one observer. Columns `item`,
 * `observer`, `key_left`, `key_right`, `left`, `right`; others are ignored. An item with two keys and an item answered twice
 * by one observer are faults.
 */
export function readRunnerAnswers(bytes: Uint8Array): Attempt<RunnerAnswer[], TableFaults> {
  const answers: RunnerAnswer[] = [];
  const soFar = new AnswersSoFar();
  const read = readNamedRows<Column>(bytes, COLUMNS, [], (row) => {
    const item = row.filled('item');
    const observer = row.filled('observer');
    const keyLeft = row.word('key_left', FOOT_CLASSES);
    const keyRight = row.word('key_right', FOOT_CLASSES);
    const left = row.word('left', FOOT_VALUES);
    const right = row.word('right', FOOT_VALUES);
    if (item === null || observer === null || keyLeft === null || keyRight === null) return;
    if (left === null || right === null) return;
    const answer = { item, observer, keyLeft, keyRight, left, right };
    if (soFar.fits(row, answer)) answers.push(answer);
  });
  return read.ok ? succeeded(answers) : read;
}
