import { expect, type Page } from '@playwright/test';
import { base45Bytes, base45Text } from '../../../src/lib/screen/base45.ts';
import { CODE_SIZES } from '../../../src/lib/screen/code-size.ts';
import { CodeSequence } from '../../../src/lib/screen/code-sequence.ts';
import { crc32 } from '../../../src/lib/screen/crc-32.ts';
import { packPayload } from '../../../src/lib/screen/pack-payload.ts';
import { makeRecords } from '../../reference/screen/make-records.mjs';
import { axeFaults } from '../browser/axe-faults.ts';

/** The hand-off that the tests of codes show and film, its race and its records; coarse codes. */
export const RECORDS = 60;
export const RACE = '0d5c4f2e-6b1a-4c3d-9e87-5a2b6f10c4d9';
export const NAME = 'Kestrel Dyke Marathon (invented)';
export const COARSE = CODE_SIZES.coarse.qrVersion;
export const file: string = makeRecords(RECORDS);

const packed = packPayload(file);
if (!packed.ok) throw new Error(packed.error.type);
export const { bytes: payload, digest } = packed.value;
export const BLOCKS = Math.ceil(payload.length / CODE_SIZES.coarse.blockBytes);

/** The first `count` frames of a showing. */
export function frames(count: number, { bytes = payload, session = 7 } = {}): string[] {
  const sequence = new CodeSequence(bytes, 'coarse', session);
  return Array.from({ length: count }, (_, n) => sequence.text(n));
}

/** A frame with other bytes and the right CRC. */
export function forged(text: string, change: (bytes: Uint8Array) => void): string {
  const bytes = base45Bytes(text)!.slice();
  change(bytes);
  new DataView(bytes.buffer).setUint32(bytes.length - 4, crc32(bytes.subarray(0, -4)));
  return base45Text(bytes);
}

/** How many records the device holds, in any race. */
export async function recordsStored(page: Page): Promise<number> {
  return page.evaluate(
    () =>
      new Promise<number>((resolve, reject) => {
        const request = indexedDB.open('kerbside');
        request.onerror = () => reject(new Error('no database'));
        request.onsuccess = () => {
          const db = request.result;
          if (!db.objectStoreNames.contains('counters')) return resolve(0);
          const all = db.transaction('counters').objectStore('counters').getAll();
          all.onsuccess = () => {
            db.close();
            resolve((all.result as { pulled: number }[]).reduce((sum, { pulled }) => sum + pulled, 0));
          };
        };
      }),
  );
}

/** Axe finds nothing on the page. */
export async function noFaults(page: Page): Promise<void> {
  expect(await axeFaults(page)).toEqual([]);
}

/** A race with its records on this device, on its Hand-off screen. */
export async function openHandOff(page: Page, text: string): Promise<void> {
  await page.goto('/join');
  await page
    .getByLabel('Read hand-off files')
    .setInputFiles({ name: 'field.ndjson', mimeType: 'application/x-ndjson', buffer: Buffer.from(text) });
  await page.getByRole('link', { name: `Open ${NAME}` }).click();
}
