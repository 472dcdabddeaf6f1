import { expect, test } from '@playwright/test';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import {
  device,
  handOff,
  joinAs,
  KEY,
  LAPTOP,
  noAxeFaults,
  openAtHub,
  openRaceFromFile,
  PHONE,
  race,
  rowOf,
  tally,
  withOwnHub,
} from '../helpers/screen/handoff-race.ts';

withOwnHub();

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
    await expect(tablet.getByText('stays here until then')).toBeVisible();
    await noAxeFaults(tablet);
    await tablet.getByRole('button', { name: 'Leave all the same' }).click();
    await expect(tablet.getByText('This device has left the hub.')).toBeFocused();
    await expect(tablet.getByText('3 tallied on this device, which has not joined a hub')).toBeVisible();
    await noAxeFaults(tablet);
  });

  await test.step('nothing is sent any more', async () => {
    await tablet.context().setOffline(false);
    await tablet.reload();
    await expect(tablet.getByText('3 tallied on this device, which has not joined a hub')).toBeVisible();
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
  await second.getByRole('checkbox', { name: /I take over A1/ }).check();
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
