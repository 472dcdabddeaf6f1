import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test, type Page } from '@playwright/test';
import { strFromU8, unzipSync } from 'fflate';
import { axeFaults } from '../helpers/axe-faults.ts';
import { figureDifferences } from '../helpers/figure-differences.ts';

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

/** The command line's findings on exported tables. */
function analysed({ folder }: Exported): unknown {
  const args = ['src/cli/launch.mjs', 'analyse', '--sightings', join(folder, 'sightings.csv')];
  const run = spawnSync(process.execPath, [...args, '--results', join(folder, 'results.csv'), '--json'], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  expect(run.stderr).toBe('');
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
  expect(figureDifferences(JSON.parse(coded.files['findings.json']!), analysed(coded))).toEqual([]);
  // A code and no name in every row.
  for (const line of coded.files['startlist.csv']!.split('\r\n').slice(1, 50)) {
    expect(line).toMatch(/^([A-Z0-9]{6},,.*)?$/);
  }
  for (const line of coded.files['results.csv']!.split('\r\n').slice(1)) {
    if (line) expect(Number(line.split(',')[1] || 60) % 60).toBe(0);
  }

  await page.getByLabel('Replace bibs by codes').uncheck();
  await page.getByLabel('Round finish times').uncheck();
  const plain = await exportZip(page);
  const findings = JSON.parse(plain.files['findings.json']!) as { shares: unknown };
  expect(figureDifferences(findings, analysed(plain))).toEqual([]);
  expect((JSON.parse(coded.files['findings.json']!) as { shares: unknown }).shares).toEqual(findings.shares);
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

test('files made under one choice cannot be saved under another, and making them can be stopped', async ({ page }) => {
  const id = await openDemo(page);
  await page.goto(`/races/${id}/export`);
  const saveAll = page.getByRole('button', { name: 'Save all as one zip file' });
  await page.getByLabel('Replace bibs by codes').uncheck();
  await page.getByRole('button', { name: 'Make the files' }).click();
  await expect(saveAll).toBeVisible();
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
