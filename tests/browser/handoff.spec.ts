import { readFile } from 'node:fs/promises';
import { expect, test, type Browser, type Page } from '@playwright/test';
import { projectRecords } from '../../src/lib/records/projection.ts';
import type { Race } from '../../src/lib/race/race.ts';
import { readHandoffFiles, writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import { axeFaults } from '../helpers/axe-faults.ts';
import { startHub } from '../helpers/start-hub.mjs';

const KEY = 'handoff-organiser-key-0123456789';
// A hub for each worker: repeated side by side, two runs of a test would be two tablets of one race.
const PORT = Number(process.env['KERBSIDE_TEST_PORT'] ?? 4373) + 100 + Number(process.env['TEST_PARALLEL_INDEX'] ?? 0);
const PHONE = { width: 390, height: 844 };
const TABLET = { width: 820, height: 1180 };
const LAPTOP = { width: 1180, height: 820 };
const race: Race = {
  id: '6b0c2f7e-55aa-4a39-9c5e-2d9d3f0b6c07',
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [
    { id: 'k5', name: 'Mill', km: 5 },
    { id: 'k15', name: 'Weir', km: 15 },
  ],
  observers: [
    { code: 'A1', checkpoint: 'k5', side: 'left' },
    { code: 'B1', checkpoint: 'k15', side: 'right' },
    { code: 'C1', checkpoint: 'k15', side: 'left' },
  ],
};
const raceFile = {
  name: 'alder-ten.ndjson',
  mimeType: 'application/x-ndjson',
  buffer: Buffer.from([...writeHandoff(race, [])].join('')),
};

let hub: Awaited<ReturnType<typeof startHub>>;
test.beforeAll(async () => {
  hub = await startHub({ port: PORT, key: KEY });
});
test.afterAll(async () => {
  await hub.end();
});

/** Each test finds a hub that does not know the race. */
test.beforeEach(async () => {
  const headers = { authorization: `Bearer ${KEY}`, 'content-type': 'application/json' };
  const path = `${hub.url}/api/v1/races/${race.id}`;
  const there = await fetch(path, { headers });
  if (!there.ok) return;
  const { name } = (await there.json()) as Race;
  const erased = await fetch(path, { method: 'DELETE', headers, body: JSON.stringify({ name }) });
  expect(erased.ok).toBe(true);
});

async function device(browser: Browser, viewport: { width: number; height: number }, dark = false): Promise<Page> {
  const context = await browser.newContext({
    baseURL: hub.url,
    viewport,
    acceptDownloads: true,
    colorScheme: dark ? 'dark' : 'light',
    serviceWorkers: 'allow',
  });
  return context.newPage();
}

const handOff = (page: Page) => page.goto(`/races/${race.id}/handoff`);

async function openRaceFromFile(page: Page, file = raceFile, name = race.name): Promise<void> {
  await page.goto('/join');
  await page.getByLabel('Read hand-off files').setInputFiles(file);
  await page.getByRole('link', { name: `Open ${name}` }).click();
}

/** Opens the race of the page's Hand-off screen at the hub; returns the observers' join code. */
async function openAtHub(page: Page): Promise<string> {
  await page.getByText('You are the lead').click();
  await page.getByLabel('Organiser key').fill(KEY);
  await page.getByRole('button', { name: 'Open this race at the hub' }).click();
  return page.getByTestId('join-code').innerText();
}

async function takeStation(page: Page, observer: string): Promise<void> {
  await page.getByRole('button', { name: new RegExp(`^${observer} `) }).click();
  await page.getByRole('button', { name: 'Start tallying' }).click();
}

async function joinAs(page: Page, code: string, observer: string): Promise<void> {
  await page.goto(`/join#${code}`);
  await page.getByRole('button', { name: 'Join', exact: true }).click();
  await takeStation(page, observer);
}

/** Types bibs, both feet midfoot (the middle key of the middle row), and waits until each is durable. */
async function tally(page: Page, bibs: readonly string[]): Promise<void> {
  const before = Number(await page.locator('main').getAttribute('data-kept'));
  for (const [i, bib] of bibs.entries()) {
    await page.keyboard.type(bib);
    await page.keyboard.press('s');
    await expect(page.locator('main')).toHaveAttribute('data-kept', String(before + i + 1));
  }
}

async function noAxeFaults(page: Page): Promise<void> {
  expect(await axeFaults(page)).toEqual([]);
}

async function noSidewaysScroll(page: Page): Promise<void> {
  expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0);
}

async function savedFile(page: Page): Promise<string> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save a hand-off file' }).click();
  return (await coming).path();
}

/** The one row of the lead's board or of the gaps that names this observer. */
const rowOf = (page: Page, observer: string) =>
  page
    .getByRole('region', { name: 'Devices' })
    .getByRole('row')
    // Whole: a device's short name may hold the same letters.
    .filter({ has: page.getByRole('cell', { name: observer, exact: true }) });

test('two tablets tally offline, the hub restarts, the lead sees the union; a third tablet hands in by file', async ({
  browser,
}) => {
  const lead = await device(browser, LAPTOP);
  await openRaceFromFile(lead);
  await expect(lead.getByText('0 tallied on this device, which has joined no hub')).toBeVisible();
  await lead.getByText('You are the lead').click();
  await lead.getByLabel('Organiser key').fill('a wrong key');
  await lead.getByRole('button', { name: 'Open this race at the hub' }).click();
  await expect(lead.getByText('The hub does not know this organiser key.')).toBeVisible();
  await lead.getByLabel('Organiser key').fill(KEY);
  await lead.getByRole('button', { name: 'Open this race at the hub' }).click();
  const code = await lead.getByTestId('join-code').innerText();
  expect(code).toMatch(/^[A-Z0-9]{3}-[A-Z0-9]{4}-[A-Z0-9]{3}$/);
  await expect(lead.getByRole('img', { name: `/join#${code}` }).first()).toBeVisible();

  const [first, second] = [await device(browser, PHONE), await device(browser, TABLET, true)];
  await first.goto('/join');
  await first.getByLabel('Join code').fill('AAA-AAAA-AAA');
  await first.getByRole('button', { name: 'Join', exact: true }).click();
  await expect(first.getByRole('alert')).toContainText('No race has this join code');
  await noAxeFaults(first);
  await first.getByLabel('Join code').fill(code.toLowerCase().replaceAll('-', ' '));
  await first.getByRole('button', { name: 'Join', exact: true }).click();
  await takeStation(first, 'A1');
  // The address with the code is opened where the page stands already.
  await second.goto('/join');
  await second.getByLabel('Join code').waitFor();
  await second.goto(`/join#${code}`);
  await second.getByRole('button', { name: 'Join', exact: true }).click();
  await takeStation(second, 'B1');

  await test.step('a change of the set-up reaches a tablet that tallies', async () => {
    const headers = { authorization: `Bearer ${KEY}`, 'content-type': 'application/json' };
    const path = `${hub.url}/api/v1/races/${race.id}`;
    const setUp = (await (await fetch(path, { headers })).json()) as Race;
    const checkpoints = setUp.checkpoints.map((c) => (c.id === 'k5' ? { ...c, name: 'Mill Bridge' } : c));
    await fetch(path, { method: 'PUT', headers, body: JSON.stringify({ ...setUp, checkpoints }) });
    await expect(first.getByRole('heading', { name: 'Mill Bridge' })).toBeVisible();
    await expect(second.getByRole('heading', { name: 'Weir' })).toBeVisible();
  });

  await test.step('both tally with no network, and the hub dies meanwhile', async () => {
    for (const tablet of [first, second]) await tablet.context().setOffline(true);
    await tally(first, ['101', '102', '130']);
    await tally(second, ['101', '104']);
    await first.getByRole('button', { name: /^Correct 130/ }).click();
    await first.keyboard.type('103');
    await first.getByRole('button', { name: 'Save', exact: true }).click();
    await expect(first.getByRole('button', { name: /^Correct 103/ })).toBeVisible();
    await hub.kill();
    await hub.start();
  });

  await test.step('the lead sees what comes, without doing anything', async () => {
    for (const tablet of [first, second]) await tablet.context().setOffline(false);
    await expect(rowOf(lead, 'A1').getByRole('cell').nth(1)).toHaveText('4', { timeout: 20_000 });
    await expect(rowOf(lead, 'B1').getByRole('cell').nth(1)).toHaveText('2', { timeout: 20_000 });
    await expect(rowOf(lead, 'A1')).toContainText('Mill Bridge');
    await expect(rowOf(lead, 'A1')).toContainText('in step with the hub');
    await expect(lead.getByText('6 records here from the hub')).toBeVisible();
    await expect(lead.getByText('none known to be missing')).toBeVisible();
  });

  await test.step('the tablets say where their records are', async () => {
    await handOff(first);
    await expect(first.getByText('3 tallied, 3 at the hub')).toBeVisible();
    await handOff(second);
    await expect(second.getByText('2 tallied, 2 at the hub')).toBeVisible();
    await expect(second.getByRole('region', { name: 'Devices' })).toHaveCount(0);
    for (const tablet of [first, second]) {
      await noAxeFaults(tablet);
      await noSidewaysScroll(tablet);
    }
  });

  const third = await device(browser, PHONE);
  await openRaceFromFile(third);
  await third.goto(`/races/${race.id}/tally`);
  await takeStation(third, 'C1');
  await third.context().setOffline(true);
  await tally(third, ['104', '105']);
  await third.context().setOffline(false);
  await handOff(third);
  await expect(third.getByText('2 tallied on this device, which has joined no hub')).toBeVisible();
  await expect(third.getByText('2 of 2 records made here are not in a saved file.')).toBeVisible();
  const carried = await savedFile(third);
  await expect(third.getByText('Every record made here is in a saved file.')).toBeVisible();

  await test.step('the lead reads the file, and an old one again, and the hub has it too', async () => {
    await lead.getByLabel('Read hand-off files').setInputFiles([carried, await savedFile(lead)]);
    await expect(lead.getByText('8 records, 2 of them new here')).toBeVisible();
    await expect(rowOf(lead, 'C1').getByRole('cell').nth(1)).toHaveText('2', { timeout: 20_000 });
    await expect(rowOf(lead, 'C1')).toContainText('by file alone');
    await noAxeFaults(lead);
    await lead.setViewportSize(TABLET);
    const board = lead.getByRole('group', { name: 'Board, to scroll' });
    await expect.poll(() => board.evaluate((node) => node.scrollWidth - node.clientWidth)).toBe(0);
    await lead.setViewportSize(PHONE);
    await noSidewaysScroll(lead);
  });

  const content = await readHandoffFiles([{ name: 'lead', chunks: [await readFile(await savedFile(lead))] }]);
  if (!content.ok) throw new Error(JSON.stringify(content.error));
  const { sightings } = projectRecords(content.value.records);
  expect(sightings.map(({ bib, checkpoint }) => `${bib} ${checkpoint}`).sort()).toEqual([
    '101 k15',
    '101 k5',
    '102 k5',
    '103 k5',
    '104 k15',
    '104 k15',
    '105 k15',
  ]);
  const answer = await fetch(`${hub.url}/api/v1/races/${race.id}/records`, {
    headers: { authorization: `Bearer ${KEY}` },
  });
  const atHub = ((await answer.json()) as { records: { id: string }[] }).records.map((record) => record.id);
  expect(atHub.sort()).toEqual(content.value.records.map((record) => record.id));
});

test('two leads who change the set-up at once get a choice; a faulty file is read not at all', async ({ browser }) => {
  const lead = await device(browser, TABLET);
  await openRaceFromFile(lead);
  await openAtHub(lead);

  const headers = { authorization: `Bearer ${KEY}`, 'content-type': 'application/json' };
  const path = `${hub.url}/api/v1/races/${race.id}`;
  const setUp = (await (await fetch(path, { headers })).json()) as Race;
  await lead.context().setOffline(true);
  const changed = await fetch(path, { method: 'PUT', headers, body: JSON.stringify({ ...setUp, name: 'Alder 10' }) });
  expect(changed.status).toBe(200);
  await lead.evaluate(async (id) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const opening = indexedDB.open('kerbside');
      opening.onsuccess = () => resolve(opening.result);
    });
    const store = db.transaction('races', 'readwrite').objectStore('races');
    const asked = store.get(id);
    asked.onsuccess = () => {
      const stored = asked.result as { race: Race; changedHere: boolean };
      store.put({ ...stored, race: { ...stored.race, name: 'Alder Ten Miles' }, changedHere: true });
    };
    db.close();
  }, race.id);
  await lead.context().setOffline(false);
  await lead.getByRole('button', { name: 'Send now' }).click();
  const choice = lead.getByRole('region', { name: 'The set-up was changed here and at the hub' });
  await expect(choice.getByRole('row', { name: 'Name Alder Ten Miles Alder 10' })).toBeVisible();
  await noAxeFaults(lead);
  await choice.getByRole('button', { name: 'This device’s stands' }).click();
  await expect(choice).toHaveCount(0);
  expect(((await (await fetch(path, { headers })).json()) as Race).name).toBe('Alder Ten Miles');

  await lead.getByLabel('Read hand-off files').setInputFiles({
    ...raceFile,
    name: 'cut.ndjson',
    buffer: Buffer.concat([raceFile.buffer, Buffer.from('{"id":')]),
  });
  await expect(lead.getByText('cut.ndjson, line 2: this line is not one whole JSON value')).toBeVisible();

  const old = await lead.getByTestId('join-code').innerText();
  await lead.getByRole('button', { name: 'Make a new code' }).click();
  await lead.getByRole('button', { name: 'Yes, make a new code' }).click();
  await expect(lead.getByTestId('join-code')).not.toHaveText(old);
});

test('a race is erased at the hub by its name, and what has not come to the hub is not lost by mistake', async ({
  browser,
}) => {
  const doomed: Race = { ...race, id: '0b3d5e21-7c44-4f0e-8a6b-51c2d7e9f013', name: 'Elder Five' };
  const file = { ...raceFile, buffer: Buffer.from([...writeHandoff(doomed, [])].join('')) };
  const lead = await device(browser, LAPTOP);
  await openRaceFromFile(lead, file, doomed.name);
  const code = await openAtHub(lead);

  const tablet = await device(browser, PHONE);
  await joinAs(tablet, code, 'A1');
  await tally(tablet, ['201']);
  await tablet.goto(`/races/${doomed.id}/handoff`);
  await expect(tablet.getByText('1 tallied, 1 at the hub')).toBeVisible();
  await tablet.route('**/api/v1/**', (call) => call.abort());
  await tablet.goto(`/races/${doomed.id}/tally`);
  await tally(tablet, ['202', '203']);

  const card = tablet.getByRole('article', { name: doomed.name });
  await test.step('a tablet does not let go of records that have not been handed in', async () => {
    await tablet.goto('/');
    await card.getByText('Erase from this device').click();
    await card.getByLabel(/Type the race’s name/).fill(doomed.name);
    await expect(card.getByText('2 records are on this device alone')).toBeVisible();
    const erase = card.getByRole('button', { name: 'Erase' });
    await expect(erase).toBeDisabled();
    await card.getByLabel(/Type the race’s name/).press('Enter');
    await expect(card.getByText('3 tallied here')).toBeVisible();
    await card.getByLabel('Erase all the same').check();
    await expect(erase).toBeEnabled();
    await noAxeFaults(tablet);
    await noSidewaysScroll(tablet);
  });

  await test.step('the lead hears that records are missing, and erases by typing the name', async () => {
    // The tablet comes by for a moment: the hub learns how far it has counted and gets nothing.
    await tablet.unroute('**/api/v1/**');
    await tablet.route('**/api/v1/races/*/records', async (call) => {
      if (call.request().method() !== 'POST') return call.abort();
      const sent = call.request().postDataJSON() as { records: { bib: string }[] };
      const records = sent.records.filter(({ bib }) => bib === '203');
      const response = await call.fetch({ postData: JSON.stringify({ ...sent, records }) });
      // The step may be over, and the page gone on, before the hub has answered.
      return call.fulfill({ response }).catch(() => undefined);
    });
    await tablet.goto(`/races/${doomed.id}/handoff`);
    await expect(lead.getByText('from 1 device at the hub, 1 still missing')).toBeVisible({ timeout: 20_000 });
    const panel = lead.getByRole('region', { name: 'Erase' });
    await panel.getByText('Erase this race at the hub').click();
    await expect(panel.getByText('1 record that tablets made has not come to the hub.')).toBeVisible();
    const erase = panel.getByRole('button', { name: 'Erase at the hub' });
    const name = panel.getByLabel(/Type the race’s name/);
    await panel.getByLabel('Erase all the same').check();
    await name.fill('Elder Fiv');
    await expect(erase).toBeDisabled();
    await name.fill(doomed.name);
    await panel.getByLabel('Erase all the same').uncheck();
    await expect(erase).toBeDisabled();
    await noAxeFaults(lead);
    const headers = { authorization: `Bearer ${KEY}` };
    const atHub = async (path: string) =>
      (await fetch(`${hub.url}/api/v1/races/${doomed.id}${path}`, { headers })).status;
    expect(await atHub('')).toBe(200);
    await panel.getByLabel('Erase all the same').check();
    await erase.click();
    await expect(lead.getByText('The race is erased at the hub. What this device holds is still here.')).toBeVisible();
    for (const path of ['', '/records', '/devices', '/startlist'])
      expect([path, await atHub(path)]).toEqual([path, 404]);
    expect(await (await fetch(`${hub.url}/api/v1/races`, { headers })).text()).not.toContain(doomed.id);
    await expect(lead.getByText('which has joined no hub')).toBeVisible();
  });

  await test.step('the tablet keeps its records, saves them in a file, and then lets go of them', async () => {
    await tablet.unroute('**/api/v1/races/*/records');
    await tablet.reload();
    await expect(tablet.getByText('the hub refuses this device')).toBeVisible();
    const saved = await savedFile(tablet);
    const content = await readHandoffFiles([{ name: 'tablet', chunks: [await readFile(saved)] }]);
    expect(content.ok && content.value.records.map((r) => 'bib' in r && r.bib)).toEqual(['201', '202', '203']);
    await tablet.goto('/');
    await card.getByText('Erase from this device').click();
    await expect(card.getByText('on this device alone')).toHaveCount(0);
    await card.getByLabel(/Type the race’s name/).fill(doomed.name);
    await card.getByRole('button', { name: 'Erase' }).click();
    await expect(tablet.getByText('None yet.')).toBeVisible();
  });
});

test('a tablet leaves the hub with its records, tallies on, and comes back as the device that it was', async ({
  browser,
}) => {
  const lead = await device(browser, LAPTOP);
  await openRaceFromFile(lead);
  const code = await openAtHub(lead);
  const tablet = await device(browser, PHONE);
  await joinAs(tablet, code, 'A1');
  await tally(tablet, ['201', '202']);
  await handOff(tablet);
  await expect(tablet.getByText('2 tallied, 2 at the hub')).toBeVisible();

  await test.step('with a record that waits it warns, and leaving is still the person’s to decide', async () => {
    await tablet.goto(`/races/${race.id}/tally`);
    await tablet.getByRole('group', { name: 'Foot grid' }).waitFor();
    // Pages open without a network once the whole app is kept, which takes some seconds after the first visit.
    await tablet.waitForFunction(() => navigator.serviceWorker.controller !== null);
    await tablet.context().setOffline(true);
    await tally(tablet, ['203']);
    await handOff(tablet);
    await tablet.getByText('Leave this hub').click();
    await expect(tablet.getByText('1 record made here is not at the hub.')).toBeVisible();
    await expect(tablet.getByText('kept here for that day')).toBeVisible();
    await noAxeFaults(tablet);
    await tablet.getByRole('button', { name: 'Leave all the same' }).click();
    await expect(tablet.getByText('This device has left the hub.')).toBeFocused();
    await expect(tablet.getByText('3 tallied on this device, which has joined no hub')).toBeVisible();
    await noAxeFaults(tablet);
  });

  await test.step('nothing is sent any more', async () => {
    await tablet.context().setOffline(false);
    await tablet.reload();
    await expect(tablet.getByText('3 tallied on this device, which has joined no hub')).toBeVisible();
    await tablet.goto(`/races/${race.id}/tally`);
    await tally(tablet, ['204']);
    await expect(rowOf(lead, 'A1').getByRole('cell').nth(1)).toHaveText('2');
  });

  await test.step('joined again it is the same device, and everything is at the hub once', async () => {
    await handOff(tablet);
    await tablet.getByLabel('Join code').fill(code);
    await tablet.getByRole('button', { name: 'Join', exact: true }).click();
    await expect(tablet.getByText('4 tallied, 4 at the hub')).toBeVisible({ timeout: 20_000 });
    await expect(rowOf(lead, 'A1').getByRole('cell').nth(1)).toHaveText('4', { timeout: 20_000 });
    await expect(lead.getByText('4 records here from the hub')).toBeVisible();
  });

  await test.step('the lead leaves too: the key is asked for again', async () => {
    await lead.getByText('Leave this hub').click();
    await lead.getByRole('button', { name: 'Leave now' }).click();
    await expect(lead.getByRole('region', { name: 'Devices' })).toHaveCount(0);
    await lead.reload();
    await lead.getByText('You are the lead').click();
    await expect(lead.getByLabel('Organiser key')).toHaveValue('');
    await lead.getByLabel('Organiser key').fill(KEY);
    await lead.getByRole('button', { name: 'Open this race at the hub' }).click();
    await expect(lead.getByTestId('join-code')).toHaveText(code);
  });

  await test.step('a tablet that was the lead for a while comes back as the observer’s device too', async () => {
    await tablet.getByText('Leave this hub').click();
    await tablet.getByRole('button', { name: 'Leave now' }).click();
    expect(await openAtHub(tablet)).toBe(code);
    await expect(tablet.getByRole('region', { name: 'Devices' })).toBeVisible();
    await tablet.getByText('Leave this hub').click();
    await tablet.getByRole('button', { name: 'Leave now' }).click();
    await tablet.getByLabel('Join code').fill(code);
    await tablet.getByRole('button', { name: 'Join', exact: true }).click();
    await expect(tablet.getByText('4 tallied, 4 at the hub')).toBeVisible({ timeout: 20_000 });
  });
});

test('a code that another device tallies under is said before it is taken, and taken over only on purpose', async ({
  browser,
}) => {
  const [lead, first, second] = await Promise.all([
    device(browser, LAPTOP),
    device(browser, PHONE),
    device(browser, PHONE),
  ]);
  await openRaceFromFile(lead);
  await handOff(lead);
  const code = await openAtHub(lead);
  await joinAs(first, code, 'A1');
  await first.keyboard.type('512s');
  await first.locator('main[data-kept="1"]').waitFor();
  await handOff(first);
  await expect(first.getByText('1 tallied, 1 at the hub')).toBeVisible();

  await second.goto(`/join#${code}`);
  await second.getByRole('button', { name: 'Join', exact: true }).click();
  await second.getByRole('button', { name: /^A1 / }).click();
  await expect(second.getByText(/A1 is in use by device [0-9A-F]{4} since .+, last heard of/)).toBeVisible();
  expect(await axeFaults(second)).toEqual([]);
  await second.getByRole('button', { name: 'Start tallying' }).click();
  await expect(second.getByRole('alert')).toContainText('Take it over only on purpose');
  await second.getByRole('checkbox', { name: /I take A1 over/ }).check();
  await second.getByRole('button', { name: 'Start tallying' }).click();
  await second.getByRole('group', { name: 'Foot grid' }).waitFor();

  // What the lead keeps, an observer's device shows and does not change.
  await second.goto(`/races/${race.id}/setup`);
  await expect(second.getByText('The lead keeps the set-up')).toBeVisible();
  await expect(second.getByLabel('Name', { exact: true }).first()).toBeDisabled();
  await handOff(lead);
  await expect(lead.getByText('1 runner tallied')).toBeVisible();
  await Promise.all([lead, first, second].map((page) => page.context().close()));
});
