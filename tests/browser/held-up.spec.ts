import { expect, test, type Page } from '@playwright/test';
import type { Race } from '../../src/lib/race/race.ts';
import type { Joined } from '../../src/lib/wire/wire.ts';
import { writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { call, join, sighting } from '../helpers/hub/hub-client.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const KEY = 'held-up-organiser-key-0123456789';
const PORT = Number(process.env['KERBSIDE_TEST_PORT'] ?? 4373) + 110;
const race: Race = {
  id: '6b0c2f7e-55aa-4a39-9c5e-2d9d3f0b6d11',
  name: 'Osier Ten',
  date: '2026-10-04',
  checkpoints: [{ id: 'k5', name: 'Mill', km: 5 }],
  observers: [{ code: 'A1', checkpoint: 'k5', side: 'left' }],
};

const ELSEWHERE = JSON.stringify({
  records: Array.from({ length: 1000 }, (_, i) => sighting('6b0c2f7e-55aa-4a39-9c5e-2d9d3f0b6d12', 'k', i + 1)),
});

let hub: Awaited<ReturnType<typeof startHub>>;
test.beforeAll(async () => {
  hub = await startHub({ port: PORT, key: KEY });
});
test.afterAll(async () => {
  await hub.end();
});

async function push({ token }: Joined, body: unknown): Promise<number> {
  return (await call(hub.url, 'POST', `/races/${race.id}/records`, { token, body })).status;
}

/** Hands in one record, then those of another race until the hub asks this device to wait: refused ones count as well. */
async function flood(joined: Joined, device: string): Promise<void> {
  expect(await push(joined, { records: [sighting(race.id, device, 1)] })).toBe(200);
  for (let status = 200; status === 200;) status = await push(joined, ELSEWHERE);
}

const pushesNext = (joined: Joined, device: string) => push(joined, { records: [sighting(race.id, device, 2)] });

/** Devices join until one is kept out. */
async function crowdIn(code: string): Promise<void> {
  for (let wave = 0, kept = 0; kept === 0; wave += 1) {
    const joined = await Promise.all(
      Array.from({ length: 64 }, (_, i) =>
        call(hub.url, 'POST', '/join', { body: { code, device: `crowd-${wave}-${i}` } }),
      ),
    );
    kept = joined.filter(({ status }) => status === 429).length;
  }
}

async function openAtHub(page: Page): Promise<string> {
  await page.goto('/join');
  const buffer = Buffer.from([...writeHandoff(race, [])].join(''));
  const file = { name: 'osier.ndjson', mimeType: 'application/x-ndjson', buffer };
  await page.getByLabel('Read hand-off files').setInputFiles(file);
  await page.getByRole('link', { name: `Open ${race.name}` }).click();
  await page.getByText('You are the lead').click();
  await page.getByLabel('Organiser key').fill(KEY);
  await page.getByRole('button', { name: 'Open this race at the hub' }).click();
  return page.getByTestId('join-code').innerText();
}

test('the lead sees who is held up, how much and since when, and lets it go on or shuts it out', async ({
  browser,
}) => {
  const context = await browser.newContext({ baseURL: hub.url, viewport: { width: 820, height: 1180 } });
  const page = await context.newPage();
  const code = await openAtHub(page);
  const devices = page.getByRole('region', { name: 'Devices' });
  const list = devices.getByRole('list', { name: 'Held up at the hub' });
  await expect(devices.getByText('No device has joined yet.')).toBeVisible();
  await expect(list).toHaveCount(0);

  const [one, two] = [await join(hub.url, code, 'k-aaaa'), await join(hub.url, code, 'k-bbbb')];
  await flood(one, 'k-aaaa');
  await flood(two, 'k-bbbb');
  await page.reload();
  const rowOf = (name: string) => list.getByRole('listitem').filter({ hasText: name });
  await expect(rowOf('AAAA')).toContainText('1 so far. Refused once since', { timeout: 20_000 });
  expect(await axeFaults(page)).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0);

  await rowOf('AAAA').getByRole('button', { name: 'Let it go on' }).click();
  await expect(rowOf('AAAA')).toHaveCount(0);
  expect(await pushesNext(one, 'k-aaaa')).toBe(200);
  await rowOf('BBBB').getByRole('button', { name: 'End access of BBBB' }).click();
  await rowOf('BBBB').getByRole('button', { name: 'Yes, end access of BBBB' }).click();
  await expect(list).toHaveCount(0);
  await expect.poll(() => pushesNext(two, 'k-bbbb')).toBe(401);

  await test.step('a crowd is shut out at one stroke', async () => {
    await crowdIn(code);
    await page.reload();
    await expect(list).toContainText('observers’ devices have joined, more than any race needs', {
      timeout: 20_000,
    });
    expect(await axeFaults(page)).toEqual([]);
    await list.getByRole('button', { name: /^End access of all who joined since/ }).click();
    await list.getByRole('button', { name: /^Yes, end access of all who joined since/ }).click();
    // The one that was let go on may have joined in peace before.
    const members = devices.getByRole('button', { name: /^End access of [0-9A-F]/ });
    await expect.poll(() => members.count(), { timeout: 20_000 }).toBeLessThan(2);
    await list.getByRole('button', { name: 'Let more join' }).click();
    await expect(list).toHaveCount(0);
    await join(hub.url, code, 'k-cccc');
  });
  await context.close();
});
