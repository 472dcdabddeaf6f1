/**
 * Puts a race with its lists and records straight into the browser's database, as if a hub had sent them: blocks of
 * 1,000 pulled records. Any page of the app must have been open before, so that the database is there.
 *
 * @param {import('@playwright/test').Page} page
 * @param {{race: {id: string}, startList: object[], results: object[], records: object[], demo?: boolean}} data
 */
export async function putRace(page, { race, startList, results, records, demo = false }) {
  const size = 1000;
  await page.evaluate(
    async ({ race, startList, results, demo }) => {
      const db = await new Promise((resolve, reject) => {
        const request = indexedDB.open('kerbside');
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
      const stores = ['races', 'startLists', 'results'];
      const transaction = db.transaction(stores, 'readwrite');
      transaction.objectStore('races').put({ id: race.id, race, openedAt: 1, ...(demo ? { demo } : {}) });
      transaction.objectStore('startLists').put({ race: race.id, revision: 1, rows: startList });
      transaction.objectStore('results').put({ race: race.id, revision: 1, rows: results });
      await new Promise((resolve, reject) => {
        transaction.oncomplete = resolve;
        transaction.onerror = () => reject(transaction.error);
      });
      db.close();
    },
    { race, startList, results, demo },
  );
  const chunk = 50 * size;
  for (let from = 0; from < records.length || from === 0; from += chunk) {
    await page.evaluate(
      async ({ raceId, part, firstBlock, total, size }) => {
        const db = await new Promise((resolve, reject) => {
          const request = indexedDB.open('kerbside');
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error);
        });
        const transaction = db.transaction(['blocks', 'counters'], 'readwrite', { durability: 'relaxed' });
        let block = firstBlock;
        for (let i = 0; i < part.length; i += size) {
          transaction
            .objectStore('blocks')
            .put({ race: raceId, block, records: part.slice(i, i + size), subjects: [] });
          block += 1;
        }
        transaction.objectStore('counters').put({
          race: raceId,
          device: 'test-device',
          lastSeq: 0,
          tallied: 0,
          waiting: 0,
          savedSeq: 0,
          pulled: total,
          blocks: block - 1,
        });
        await new Promise((resolve, reject) => {
          transaction.oncomplete = resolve;
          transaction.onerror = () => reject(transaction.error);
        });
        db.close();
      },
      {
        raceId: race.id,
        part: records.slice(from, from + chunk),
        firstBlock: from / size + 1,
        total: records.length,
        size,
      },
    );
  }
}
