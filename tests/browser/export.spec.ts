import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test, type Page } from '@playwright/test';
import { strFromU8, unzipSync } from 'fflate';
import type { RunnerAnswer } from '../../src/lib/practice/runner-answer.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { answersOfFile } from '../helpers/findings/corrected-cases.ts';
import { figureDifferences } from '../helpers/findings/figure-differences.ts';
import { keepPractisedSessions, practisedRace, practisedRun } from '../helpers/findings/practised-race.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';

interface Exported {
  files: Record<string, string>;
  folder: string;
}

async function openDemo(page: Page): Promise<string> {
  await page.goto('/');
  await page.getByRole('button', { name: 'Open the demo race' }).click();
  await page.waitForURL(/\/findings/);
  return /races\/([^/]+)/.exec(page.url())![1]!;
}

async function exportZip(page: Page): Promise<Exported> {
  await page.getByRole('button', { name: 'Make the files' }).click();
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save all as one zip file' }).click(),
  ]);
  const unzipped = unzipSync(readFileSync(await download.path()));
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-export-'));
  const files: Record<string, string> = {};
  for (const [name, bytes] of Object.entries(unzipped)) {
    files[name] = name.endsWith('.png') ? `${bytes.length} bytes` : strFromU8(bytes);
    if (name.endsWith('.csv')) writeFileSync(join(folder, name), bytes);
  }
  return { files, folder };
}

/** The figures of the exported file, without what it says of itself. */
function figuresOf({ files }: Exported): { shares: unknown } {
  const { about, ...figures } = JSON.parse(files['findings.json']!) as { about: unknown; shares: unknown };
  expect(about).toBeTruthy();
  return figures;
}

/** The command line's findings on exported tables. */
function analysed({ folder }: Exported): unknown {
  const args = ['src/cli/launch.mjs', 'analyse', '--sightings', join(folder, 'sightings.csv')];
  const run = spawnSync(process.execPath, [...args, '--results', join(folder, 'results.csv'), '--json'], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  // Nothing but which columns were taken.
  expect(run.stderr).toMatch(/^[^\n]*: columns: [^\n]*\n$/);
  expect(run.status).toBe(0);
  return JSON.parse(run.stdout);
}

test('an export alone computes the findings again, with codes and without', async ({ page }) => {
  const id = await openDemo(page);
  await page.goto(`/races/${id}/export`);
  expect(await axeFaults(page)).toEqual([]);

  const coded = await exportZip(page);
  expect(Object.keys(coded.files)).not.toContain('key-bib-to-code.csv');
  // Two engines, two mathematics libraries: the last digits of a logarithm may differ.
  expect(figureDifferences(figuresOf(coded), analysed(coded))).toEqual([]);
  // A code and no name in every row.
  for (const line of coded.files['startlist.csv']!.split('\r\n').slice(1, 50)) {
    expect(line).toMatch(/^([A-Z0-9]{6},,.*)?$/);
  }
  const finishAt = coded.files['results.csv']!.split('\r\n')[0]!.split(',').indexOf('finish');
  for (const line of coded.files['results.csv']!.split('\r\n').slice(1)) {
    if (line) expect(Number(line.split(',')[finishAt] || 300) % 300).toBe(0);
  }

  await page.getByLabel('Replace bibs by codes').uncheck();
  const plain = await exportZip(page);
  const findings = figuresOf(plain);
  expect(figureDifferences(findings, analysed(plain))).toEqual([]);
  expect(figuresOf(coded).shares).toEqual(findings.shares);
  expect(Object.keys(plain.files).filter((name) => name.endsWith('.png')).length).toBeGreaterThan(3);

  // The dictionary names the columns that the tables have, in their order (Table Schema, Frictionless Data).
  const dictionary = JSON.parse(plain.files['datapackage.json']!) as {
    resources: { path: string; schema: { fields: { name: string }[] } }[];
  };
  const tables = Object.keys(plain.files).filter((name) => name.endsWith('.csv'));
  expect(dictionary.resources.map((resource) => resource.path).sort()).toEqual(tables.sort());
  for (const { path, schema } of dictionary.resources) {
    expect(schema.fields.map((field) => field.name).join(',')).toBe(plain.files[path]!.split('\r\n')[0]);
  }
});

test('an export with codes says whom it singles out, takes a coarser step, and describes itself', async ({ page }) => {
  const id = await openDemo(page);
  await page.goto(`/races/${id}/findings`);
  // What is chosen on Findings holds here.
  await page.getByLabel('A runner with one foot seen').selectOption('use');
  await page.goto(`/races/${id}/export`);
  await page.getByRole('button', { name: 'Make the files' }).click();
  const unique = async (): Promise<number> => {
    const said = (await page.getByText(/the only one with their/).innerText()).replaceAll(',', '');
    return Number(/lists (\d+)/.exec(said)![1]);
  };
  const fine = await unique();
  // The step that leaves nobody alone is proposed, and taken in one go.
  await expect(page.getByText(/Nobody stands alone/)).toContainText('finish to the hour, no age');
  await page.getByRole('button', { name: 'Take that step' }).click();
  await expect(page.getByRole('row', { name: /chosen/ })).toContainText('finish to the hour, no age');
  await expect(page.getByRole('button', { name: 'Take that step' })).toHaveCount(0);
  expect(fine).toBeGreaterThan(0);
  expect(await unique()).toBe(0);
  expect(await axeFaults(page)).toEqual([]);
  await page.getByLabel('Mark tables as UTF-8').check();
  await page.getByLabel('SVG').check();
  await page.getByLabel('Width, mm').fill('120');
  const { files, folder } = await exportZip(page);
  expect(readFileSync(join(folder, 'sightings.csv')).subarray(0, 3)).toEqual(Buffer.from([0xef, 0xbb, 0xbf]));
  const pictures = Object.keys(files).filter((name) => name.startsWith('pictures/'));
  expect(pictures.length).toBeGreaterThan(3);
  for (const name of pictures) expect(files[name]).toContain('width="120mm"');
  const { about } = JSON.parse(files['findings.json']!) as { about: Record<string, unknown> };
  expect(about).toMatchObject({
    program: 'kerbside',
    contract: 1,
    coded: true,
    coarsened: 'finish to the hour, no age',
  });
  const digest = createHash('sha256')
    .update(readFileSync(join(folder, 'sightings.csv')))
    .digest('hex');
  expect(about['inputs']).toMatchObject({ 'sightings.csv': digest });
  expect(files['recompute.R']).toContain('findings.json');
});

test('what is chosen on Findings and Club holds in the export, and when one comes back', async ({ page }) => {
  const id = await openDemo(page);
  const nav = page.getByRole('navigation', { name: 'Screens of this race' });
  await page.getByLabel('A runner with one foot seen').selectOption('use');
  await page.getByLabel('Intervals at').selectOption({ label: '90 %' });
  await page.getByRole('combobox', { name: 'Early' }).selectOption({ index: 1 });
  const early = await page.getByRole('combobox', { name: 'Early' }).inputValue();
  await expect(page).toHaveURL(/level=0\.9&foot=use/);
  await expect(page.locator('#shares .lead')).toContainText('90 % interval');
  await nav.getByRole('link', { name: 'Export' }).click();
  const { files } = await exportZip(page);
  const { about, shift } = JSON.parse(files['findings.json']!) as {
    about: Record<string, unknown>;
    shift: Record<string, unknown>;
  };
  expect(about).toMatchObject({ level: 0.9, singleFoot: 'use' });
  expect(shift['early']).toBe(early);

  await page.goto(`/races/${id}/findings/club`);
  const team = page.getByLabel('Team');
  await team.selectOption({ index: 1 });
  const chosen = await team.inputValue();
  await expect(page.locator('.club .lead')).toContainText('90 % interval');
  await expect(page).toHaveURL(/team=/);
  // By links, so that nothing but what is kept on the device can carry the choices.
  await nav.getByRole('link', { name: 'Export' }).click();
  await expect(page.getByRole('heading', { name: 'Export', level: 1 })).toBeVisible();
  await page.goto(`/races/${id}/findings/club`);
  await expect(team).toHaveValue(chosen);
  await page.goto(`/races/${id}/findings`);
  await expect(page.getByLabel('A runner with one foot seen')).toHaveValue('use');
  await expect(page.getByLabel('Intervals at')).toHaveValue('0.9');
  await expect(page.getByRole('combobox', { name: 'Early' })).toHaveValue(early);
  // A link shows what it says, whatever was chosen here.
  await page.goto(`/races/${id}/findings?level=0.95&foot=exclude`);
  await expect(page.getByLabel('A runner with one foot seen')).toHaveValue('exclude');
  await expect(page.getByLabel('Intervals at')).toHaveValue('0.95');
});

test('files made under one choice cannot be saved under another, and making them can be stopped', async ({ page }) => {
  const id = await openDemo(page);
  await page.goto(`/races/${id}/export`);
  const saveAll = page.getByRole('button', { name: 'Save all as one zip file' });
  await page.getByLabel('Replace bibs by codes').uncheck();
  await page.getByRole('button', { name: 'Make the files' }).click();
  // Pictures, tables and findings of a whole race: on a busy machine that takes its time.
  await expect(saveAll).toBeVisible({ timeout: 60_000 });
  await page.getByLabel('Replace bibs by codes').check();
  await expect(saveAll).toHaveCount(0);

  // The worker's code never comes: only Stop ends that.
  await page.reload();
  await page.route(/export-worker/, () => undefined);
  await page.getByRole('button', { name: 'Make the files' }).click();
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await expect(page.getByRole('button', { name: 'Make the files' })).toBeEnabled();
  await expect(saveAll).toHaveCount(0);
});

const byItem = (a: RunnerAnswer, b: RunnerAnswer): number =>
  `${a.item} ${a.observer}` < `${b.item} ${b.observer}` ? -1 : 1;

test('an export with practice holds the answers, and with codes leaves them out and says so', async ({ page }) => {
  await seedRace(page, { ...practisedRace, demo: false });
  await keepPractisedSessions(page);
  await page.goto(`/races/${practisedRace.race.id}/export`);
  const coded = await exportZip(page);
  await expect(page.getByText('The practice answers are left out')).toBeVisible();
  expect(Object.keys(coded.files)).not.toContain('practice-runners.csv');

  await page.getByLabel('Replace bibs by codes').uncheck();
  const plain = await exportZip(page);
  // R's figures (tests/reference/cases-corrected/practice/expected.json) stand in the file.
  expect(figureDifferences(practisedRun.expected, figuresOf(plain))).toEqual([]);
  // And the answers that made them: what was exported is what was kept.
  const answers = answersOfFile(Buffer.from(plain.files['practice-runners.csv']!));
  const given = answersOfFile(readFileSync(practisedRun.practice!));
  // An item is named with the clip set that it is of.
  expect(answers.toSorted(byItem)).toEqual(
    given.map((answer) => ({ ...answer, item: `Causeway/${answer.item}` })).toSorted(byItem),
  );
});
