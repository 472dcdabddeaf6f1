import { expect, it } from 'vitest';
import { OpenTransactions } from './open-transactions.ts';

/** As much of the browser's database as is needed: a committed transaction cannot be taken back, as the standard says. */
class FakeTransaction extends EventTarget {
  state: 'open' | 'committed' | 'aborted' = 'open';
  abort() {
    if (this.state !== 'open') throw new DOMException('ended', 'InvalidStateError');
    this.state = 'aborted';
    this.dispatchEvent(new Event('abort'));
  }
  commit() {
    this.state = 'committed';
  }
}

async function opened() {
  const request = Object.assign(new EventTarget(), {
    result: { transaction: () => new FakeTransaction() },
    transaction: null,
  });
  const transactions = new OpenTransactions({
    open: () => request as unknown as IDBOpenDBRequest,
    deleteDatabase: () => request as unknown as IDBOpenDBRequest,
    databases: () => Promise.resolve([]),
  });
  transactions.open('kerbside');
  request.dispatchEvent(new Event('success'));
  return { transactions, begin: () => request.result.transaction() };
}

it('takes back what runs when the page is left, and leaves alone what is committed', async () => {
  const { transactions, begin } = await opened();
  const [reading, tap, over] = [begin(), begin(), begin()];
  tap.commit();
  over.dispatchEvent(new Event('complete'));
  transactions.leave();
  expect([reading.state, tap.state, over.state]).toEqual(['aborted', 'committed', 'open']);
  expect(transactions.tookBack).toBe(true);
});

it('takes back what begins afterwards, unless it commits at once', async () => {
  const { transactions, begin } = await opened();
  transactions.leave();
  expect(transactions.tookBack).toBe(false);
  const [reading, putDown] = [begin(), begin()];
  putDown.commit();
  await Promise.resolve();
  expect([reading.state, putDown.state]).toEqual(['aborted', 'committed']);
});

it('leaves all alone once the page is there again', async () => {
  const { transactions, begin } = await opened();
  transactions.leave();
  transactions.comeBack();
  const reading = begin();
  await Promise.resolve();
  expect(reading.state).toBe('open');
});
