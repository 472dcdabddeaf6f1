/** What a request of the browser's database answers. */
export function answerOf<Answer>(request: IDBRequest): Promise<Answer> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result as Answer);
    request.onerror = () => reject(request.error ?? new Error('request failed'));
  });
}

/** Settles when the transaction is durable, or was taken back. */
export function whenCommitted(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new Error('the transaction was taken back'));
  });
}
