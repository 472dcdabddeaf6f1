import type { Mix } from './practice-levels.ts';
import type { KeyItem } from './key-and-answers.ts';
import type { AnswerTable, Basis, PassReason, SessionScore } from './practice-scores.ts';

/**
 * Lower limit of Youden's index that passes. An early-to-late shift seen with these eyes shrinks by J, and every slip
 * makes a change that was none: at J = 0.7 some six times as many pairs are needed.
 */
export const PASS_MARK = 0.7;
/** Classed answers needed of each class that the mix has. */
export const PASS_EACH = 30;
/** Speed and level from which a set is as at a race. */
const RACE_RATE = 1;
const RACE_LEVEL = 4;
/** One in this many answers may be "not seen". */
const UNSEEN_ONE_IN = 10;

interface Judged {
  readonly basis: Basis;
  readonly shown: readonly KeyItem[];
  readonly unseen: number;
  readonly table: AnswerTable;
  /** Lower limit of Youden's index. */
  readonly low: number | null;
}

/** Whether the session passes; `null` and why when it cannot tell. */
export function passMark({ basis, shown, unseen, table, low }: Judged, mix: Mix): SessionScore['pass'] {
  const tooFew =
    low === null || table.some((row, c) => mix[c]! > 0 && row.reduce((sum, count) => sum + count, 0) < PASS_EACH);
  const notRaceLevel = shown.some(
    ({ rate, level }) => rate !== RACE_RATE || (basis === 'drawn' && (level === null || level < RACE_LEVEL)),
  );
  const open: PassReason[] = [
    ...(tooFew ? ['tooFew' as const] : []),
    ...(notRaceLevel ? ['notRaceLevel' as const] : []),
  ];
  const below: PassReason[] = [
    ...(unseen * UNSEEN_ONE_IN > shown.length ? ['unseen' as const] : []),
    ...(low !== null && low < PASS_MARK ? ['low' as const] : []),
  ];
  return { mark: PASS_MARK, passed: open.length > 0 ? null : below.length === 0, why: [...open, ...below] };
}
