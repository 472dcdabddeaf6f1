import { readFile } from 'node:fs/promises';
import { expect, test } from '@playwright/test';
import { projectRecords } from '../../src/lib/records/projection.ts';
import type { Race } from '../../src/lib/race/race.ts';
import { readHandoffFiles, writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import {
  device,
  handOff,
  hub,
  joinAs,
  KEY,
  LAPTOP,
  noAxeFaults,
  noSidewaysScroll,
  openAtHub,
  openRaceFromFile,
  PHONE,
  race,
  raceFile,
  rowOf,
  savedFile,
  TABLET,
  takeStation,
  tally,
  withOwnHub,
} from '../helpers/screen/handoff-race.ts';

withOwnHub();

test('two tablets tally offline, the hub restarts, the lead sees the union; a third tablet hands in by file', async ({
  browser,
}) => {
  const lead = await device(browser, LAPTOP);
  await openRaceFromFile(lead);
  await expect(lead.getByText('0 tallied on this device, which has not joined a hub')).toBeVisible();
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
  await expect(third.getByText('2 tallied on this device, which has not joined a hub')).toBeVisible();
  await expect(third.getByText('2 of 2 records made here are not in a saved file.')).toBeVisible();
  const carried = await savedFile(third);
  await expect(third.getByText('Every record made here is in a saved file.')).toBeVisible();

  await test.step('the lead reads the file, and an old one again, and the hub has it too', async () => {
    await lead.getByLabel('Read hand-off files').setInputFiles([carried, await savedFile(lead)]);
    await expect(lead.getByText('8 records, 2 of them new here')).toBeVisible();
    await expect(rowOf(lead, 'C1').getByRole('cell').nth(1)).toHaveText('2', { timeout: 20_000 });
    await expect(rowOf(lead, 'C1')).toContainText('only by file');
    await noAxeFaults(lead);
    await lead.setViewportSize(TABLET);
    const board = lead.getByRole('group', { name: 'Board, to scroll' });
    await expect.poll(() => board.evaluate((node) => node.scrollWidth - node.clientWidth)).toBe(0);
    await noAxeFaults(lead);
    await lead.setViewportSize(PHONE);
    await noSidewaysScroll(lead);
    await noAxeFaults(lead);
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
    await expect(lead.getByText('which has not joined a hub')).toBeVisible();
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
