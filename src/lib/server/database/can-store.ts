import type { Adapter } from './adapter.ts';

/** No network address is written so. */
const NOBODY = '-';

/** Whether the store takes records. After a write that failed it tries one that leaves nothing behind. */
export async function canStore(adapter: Adapter): Promise<boolean> {
  if (!adapter.storage.failing) return true;
  try {
    await adapter.write(async (tx) => {
      await tx.insertInto('wrong_joins').values({ address: NOBODY, times: '[]', latest: 0 }).execute();
      await tx.deleteFrom('wrong_joins').where('address', '=', NOBODY).execute();
    });
    return true;
  } catch (error) {
    if (adapter.cannotStore(error)) return false;
    throw error;
  }
}
