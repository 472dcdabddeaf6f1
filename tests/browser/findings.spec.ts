import { expect, test, type Page } from '@playwright/test';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import type { Race, ResultRow } from '../../src/lib/race/race.ts';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import { analyse } from '../../src/lib/findings/analyse.ts';
import type { Findings } from '../../src/lib/findings/findings.ts';
import { agreementWords } from '../../src/lib/findings/sections/agreement/words.ts';
import { coverageWords } from '../../src/lib/findings/sections/coverage/words.ts';
import { finishWords } from '../../src/lib/findings/sections/finish/words.ts';
import { capital } from '../../src/lib/words/numbers.ts';
import { plain } from '../../src/lib/findings/sentences/sentences-parts.ts';
import type { SectionWords } from '../../src/lib/findings/sentences/sentences-section.ts';
import { sharesWithCorrection, shiftWithCorrection } from '../../src/lib/findings/sections/corrected/words.ts';
import { sharesWords } from '../../src/lib/findings/sections/shares/words.ts';
import { shiftWords } from '../../src/lib/findings/sections/shift/words.ts';
import { sightingsCsv } from '../../src/lib/tables/sightings/sightings-csv.ts';
import { axeFaults } from '../helpers/browser/axe-faults.ts';
import { seedRace } from '../helpers/browser/seed-race.ts';

const demo = demoRace();
const CASE = new URL('../reference/cases/two-points/', import.meta.url);

const flat = (text: string): string => text.replaceAll(/\s+/g, ' ').trim();

/** What each section must say for these figures. */
function sections(findings: Findings, focus: string[], level = 0.95): [string, SectionWords][] {
  return [
    ['shares', sharesWithCorrection(sharesWords(findings, level, focus), findings, level, focus)],
    ['shift', shiftWithCorrection(shiftWords(findings, level), findings, level)],
    ['finish', finishWords(findings, level)],
    ['agreement', agreementWords(findings, level)],
    ['coverage', coverageWords(findings, level, focus)],
  ];
}

async function expectWords(page: Page, findings: Findings, focus: string[], level = 0.95): Promise<void> {
  for (const [id, words] of sections(findings, focus, level)) {
    const section = page.locator(`#${id}`);
    await expect(section.locator('.lead').first()).toHaveText(flat(plain(words.lead)));
    const answers = (await section.locator('dd').allTextContents()).map(flat);
    expect(answers).toEqual(words.tests.map((one) => flat(capital(plain(one.answer)))));
  }
}

async function openFindings(page: Page, raceId: string, query = ''): Promise<void> {
  await page.goto(`/races/${raceId}/findings${query}`);
  // The last section is there when all are.
  await page.locator('#methods').waitFor();
}

async function drawn(page: Page): Promise<void> {
  await expect.poll(async () => page.locator('canvas:not([data-drawn])').count()).toBe(0);
}

/** The rows of a case's CSV, whose fields hold neither commas nor quotes. */
function rowsOf(file: string): Record<string, string>[] {
  const [head, ...lines] = readFileSync(new URL(file, CASE), 'utf8').trim().split(/\r?\n/);
  const names = head!.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((name, i) => [name, cells[i] ?? '']));
  });
}

const seconds = (clock: string): number => clock.split(':').reduce((sum, part) => sum * 60 + Number(part), 0);

test('the page says the figures that R computed for a race', async ({ page }) => {
  // Case `two-points`: figures of R 4.2.2, see its README. Its sightings are put on the device as records.
  const rows = rowsOf('sightings.csv');
  const places = [...new Map(rows.map((row) => [row['checkpoint']!, Number(row['km'])]))];
  const race: Race = {
    id: '11111111-2222-4333-8444-555555555555',
    name: 'Two Points',
    date: '2026-05-03',
    checkpoints: places.map(([name, km]) => ({ id: name, name, km })),
  };
  const records = rows.map((row, i): TallyRecord => {
    const bib = row['bib']!.trim();
    return {
      kind: 'sighting',
      id: `01970000-0000-7000-8000-${String(i).padStart(12, '0')}`,
      race: race.id,
      observer: row['observer']!,
      device: 'device',
      seq: i + 1,
      madeAt: new Date(row['observed_at']!).toISOString(),
      checkpoint: row['checkpoint']!,
      bib: bib === '' ? null : bib,
      left: row['left'] as 'rearfoot',
      right: row['right'] as 'rearfoot',
      method: row['method'] as 'live',
      observedAt: new Date(row['observed_at']!).toISOString(),
    };
  });
  const results = rowsOf('results.csv').map((row): ResultRow => ({
    bib: row['bib']!,
    ...(row['finish'] ? { finish: seconds(row['finish']) } : {}),
    ...(row['sex'] ? { sex: row['sex'] } : {}),
    ...(row['age'] ? { age: Number(row['age']) } : {}),
  }));
  await seedRace(page, { race, startList: [], results, records });
  const read = (file: string): Findings => JSON.parse(readFileSync(new URL(file, CASE), 'utf8')) as Findings;
  const expected = read('expected.json');
  const focus = [expected.shift!.early, expected.shift!.late];
  await openFindings(page, race.id);
  await expectWords(page, expected, focus);
  await drawn(page);
  // The other level through the choice on the page; it is kept in the address.
  await page.getByLabel('Intervals at').selectOption({ label: '90 %' });
  await expect(page.locator('#shares .lead')).toContainText('90 % interval');
  await expectWords(page, read('expected-90.json'), focus, 0.9);
  await expect(page).toHaveURL(/level=0\.9/);
});

test('the page says what the command line prints for the exported tables', async ({ page }) => {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-findings-'));
  try {
    const sightings = join(folder, 'sightings.csv');
    const results = join(folder, 'results.csv');
    writeFileSync(sightings, [...sightingsCsv(viewOfRace(demo.race, demo.records))].join(''));
    const cells = demo.results.map((row) => [row.bib, row.finish ?? '', row.sex ?? '', row.age ?? ''].join(','));
    writeFileSync(results, ['bib,finish,sex,age', ...cells].join('\r\n') + '\r\n');
    const run = spawnSync(
      process.execPath,
      ['src/cli/launch.mjs', 'analyse', '--sightings', sightings, '--results', results, '--json'],
      { encoding: 'utf8' },
    );
    expect(run.stderr + String(run.status)).toMatch(/0$/);
    const printed = JSON.parse(run.stdout) as Findings;
    await seedRace(page, demo);
    await openFindings(page, demo.race.id);
    const focus = [printed.shift!.early, printed.shift!.late];
    await expectWords(page, printed, focus);
    await expect(page.getByText('Invented demo race', { exact: true })).toBeVisible();

    // Every picture has a name, a table beside it, and is drawn.
    await drawn(page);
    const figures = page.locator('figure');
    expect(await figures.count()).toBeGreaterThanOrEqual(10);
    for (const figure of await figures.all()) {
      await expect(figure.getByRole('img')).toHaveAttribute('aria-label', /\w+ .*\./);
      expect(await figure.locator('table tbody tr').count()).toBeGreaterThan(0);
    }
    const table = page.locator('#shares figure', { hasText: 'Classes at each checkpoint' });
    await table.getByText('The numbers').click();
    const rearfoot = printed.shares[0]!.classes.rearfoot;
    await expect(table.locator('tbody tr').first()).toContainText(`${(rearfoot.share! * 100).toFixed(1)}\u00a0%`);

    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      table.getByRole('button', { name: /Save picture/ }).click(),
    ]);
    expect(saved.suggestedFilename()).toBe('shares.png');
    const bytes = readFileSync(await saved.path());
    expect(bytes.subarray(1, 4).toString()).toBe('PNG');
    // 170 mm at 300 dots an inch.
    expect(bytes.readUInt32BE(16)).toBe(Math.round((170 / 25.4) * 300));

    // Early and late changed about, one foot taken: the figures are those of the analysis with these options.
    await page.getByLabel('A runner with one foot seen').selectOption('use');
    await page.getByRole('combobox', { name: 'Early' }).selectOption(focus[1]!);
    await expect(page).toHaveURL(/foot=use/);
    const { tableOfRecords } = await import('../../src/lib/sightings/table-of-records.ts');
    const sightingTable = tableOfRecords(viewOfRace(demo.race, demo.records));
    const turned = analyse(sightingTable, demo.results, { early: focus[1], late: focus[0], singleFoot: 'use' });
    await expect(page.locator('#shares .words')).toContainText(`not corrected: At ${focus[1]!}`);
    await expectWords(page, turned, [focus[1]!, focus[0]!]);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test('a coach finds a team and typed bibs on the Club page, in finish order, and the address keeps them', async ({
  page,
}) => {
  await seedRace(page, demo);
  const team = demo.startList.find((row) => row.team)!.team!;
  const sighted = new Set(demo.records.flatMap((record) => ('bib' in record && record.bib ? [record.bib] : [])));
  const members = demo.startList.filter((row) => row.team === team && sighted.has(row.bib));
  await openFindings(page, demo.race.id);
  await page.getByRole('link', { name: 'Your own runners: Club' }).click();
  const coach = page.locator('main');
  await coach.getByLabel('Team').selectOption(team);
  await expect(coach.locator('.lead')).toContainText('rest of the field');
  await expect(page).toHaveURL(/team=/);
  const runners = coach.getByRole('region', { name: "Each runner's classes" }).locator('tbody tr');
  await expect(runners).toHaveCount(members.length);
  await page.reload();
  await expect(runners).toHaveCount(members.length);
  await coach.getByLabel('Team').selectOption('');
  const two = members.slice(0, 2).map((row) => row.bib);
  await coach.getByLabel(/Bibs/).fill(`${two.join(' ')}; 99999`);
  await coach.getByRole('button', { name: 'Show' }).click();
  await expect(runners).toHaveCount(2);
  await expect(coach).toContainText('This is a small group');
  await expect(coach).toContainText('Sighted nowhere: 99999');
  // A sheet a runner on paper, and nothing of the page beside them.
  await page.evaluate(() => (window.print = () => undefined));
  await coach.getByRole('button', { name: 'Print 2 sheets, one a runner' }).click();
  await page.emulateMedia({ media: 'print' });
  await expect(coach.locator('article')).toHaveCount(2);
  await expect(coach.locator('article').first()).toContainText('no diagnosis');
  await expect(coach.getByText('This is a small group')).toBeHidden();
});

test('new records change the figures without a blank page', async ({ page }) => {
  await seedRace(page, { ...demo, records: demo.records.slice(0, 600) });
  await openFindings(page, demo.race.id);
  await drawn(page);
  const before = await page.locator('.made').textContent();
  await page.evaluate(
    async ({ raceId, records, pulled }) => {
      const state = window as unknown as { gone: number };
      state.gone = 0;
      new MutationObserver(() => {
        if (!document.querySelector('#shares .lead')) state.gone += 1;
      }).observe(document.body, { childList: true, subtree: true });
      const db = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open('kerbside');
        request.onsuccess = () => resolve(request.result);
      });
      const transaction = db.transaction(['blocks', 'counters'], 'readwrite');
      transaction.objectStore('blocks').put({ race: raceId, block: 2, records, subjects: [] });
      const counters = transaction.objectStore('counters').get(raceId);
      counters.onsuccess = () =>
        transaction.objectStore('counters').put({ ...(counters.result as object), blocks: 2, pulled });
      await new Promise((resolve) => (transaction.oncomplete = resolve));
      db.close();
      new BroadcastChannel('kerbside-records').postMessage({ race: raceId, word: { change: 'pulled', from: 1 } });
    },
    { raceId: demo.race.id, records: demo.records.slice(600), pulled: demo.records.length },
  );
  await expect(page.locator('.made')).not.toHaveText(before!, { timeout: 15_000 });
  expect(await page.evaluate(() => (window as unknown as { gone: number }).gone)).toBe(0);
});

test('nothing to show says what is missing and where to add it', async ({ page }) => {
  await seedRace(page, { ...demo, records: [], results: [] });
  await page.goto(`/races/${demo.race.id}/findings`);
  await expect(page.getByText('this device holds no sighting')).toBeVisible();
  await expect(page.getByRole('link', { name: 'Hand-off' }).last()).toBeVisible();

  const context = await page
    .context()
    .browser()!
    .newContext({ baseURL: new URL(page.url()).origin });
  const other = await context.newPage();
  const early = demo.race.checkpoints[0]!.id;
  const records = demo.records.filter((record) => record.kind !== 'sighting' || record.checkpoint === early);
  await seedRace(other, { ...demo, records, results: [] });
  await openFindings(other, demo.race.id);
  await expect(other.locator('#shift')).toContainText('needs two checkpoints');
  await expect(other.locator('#finish')).toContainText('Read the results in under');
  await context.close();
});

test('reads on phone and tablet, enlarged, in both themes, and on paper', async ({ page }) => {
  await seedRace(page, demo);
  await openFindings(page, demo.race.id);
  await drawn(page);
  // In short first: four questions, four answers; the rest of a phone's page is folded.
  await page.setViewportSize({ width: 390, height: 844 });
  await expect(page.locator('#short dt')).toHaveCount(4);
  await expect
    .poll(async () => page.evaluate(() => document.documentElement.scrollHeight / innerHeight))
    .toBeLessThanOrEqual(5);
  for (const [width, height, scheme] of [
    [360, 740, 'light'],
    [820, 1180, 'dark'],
    [1180, 820, 'light'],
    // 1280 by 1024 at 200 %.
    [640, 512, 'dark'],
  ] as const) {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme: scheme });
    // The pictures follow the page's width a moment later.
    await expect.poll(async () => page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    if (width !== 360 && width !== 820) continue;
    // Folds stand within folds: all of them open.
    await page.evaluate(() => document.querySelectorAll('details').forEach((fold) => (fold.open = true)));
    expect(await axeFaults(page, ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'])).toEqual([]);
  }
  // What a reviewer asks for is printed and stands in the tables; the screen's sentences are spared it.
  const statistic = page.locator('#shift dd').getByText(/McNemar χ²/);
  await expect(statistic).toBeHidden();
  await expect(page.getByText('McNemar, exact')).toBeVisible();
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  await expect(statistic).toBeVisible();
  await expect(page.getByText('Newcombe’s hybrid score interval')).toBeVisible();
  // Paper is light whatever the screen was, every table is unfolded, and controls are gone.
  expect(await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor)).toBe(
    'rgb(255, 255, 255)',
  );
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  await expect.poll(async () => page.locator('main details:not([open])').count()).toBe(0);
  await expect(page.getByRole('button', { name: 'Print the report' })).toBeHidden();
  await expect(page.getByText('no diagnosis')).toBeVisible();
  await expect(page.getByText('STROBE 13')).toBeVisible();
  await page.evaluate(() => window.dispatchEvent(new Event('afterprint')));
  const pdf = await page.pdf({ format: 'A4' });
  expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
  expect(pdf.length).toBeGreaterThan(60_000);
});

test('a phone, whose sections are folded, prints every picture that a wide screen prints', async ({ page }) => {
  await seedRace(page, demo);
  const printed: number[] = [];
  for (const width of [390, 1180]) {
    await page.setViewportSize({ width, height: 844 });
    await openFindings(page, demo.race.id);
    await drawn(page);
    printed.push((await page.pdf({ format: 'A4' })).length);
  }
  // The same sheets but for the instant that they name; pictures left blank take a fifth off.
  expect(printed[0]! / printed[1]!).toBeCloseTo(1, 2);
});

test('a squad of a hundred comes out on few sheets, with nothing beyond their edge', async ({ page }) => {
  await seedRace(page, demo);
  const teams = new Map<string, number>();
  for (const { team } of demo.startList) if (team) teams.set(team, (teams.get(team) ?? 0) + 1);
  const [[team, members] = ['', 0]] = [...teams].sort((a, b) => b[1] - a[1]);
  expect(members).toBeGreaterThan(95);
  await page.setViewportSize({ width: 1180, height: 820 });
  await page.goto(`/races/${demo.race.id}/findings/club?team=${encodeURIComponent(team)}`);
  await expect(page.locator('.lead')).toContainText('rest of the field');
  await drawn(page);
  const pdf = await page.pdf({ format: 'A4', margin: { top: '12mm', bottom: '12mm', left: '12mm', right: '12mm' } });
  const sheets = pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
  expect(sheets).toBeGreaterThan(2);
  expect(sheets).toBeLessThanOrEqual(8);

  // 186 mm between the margins at 96 dots an inch.
  await page.setViewportSize({ width: 703, height: 1032 });
  await page.emulateMedia({ media: 'print' });
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(703);
  const squad = page.getByRole('table').filter({ hasText: 'In the order of their finish' });
  await expect(squad.locator('thead')).toHaveCSS('display', 'table-header-group');
  for (const plot of await page.locator('figure .plot').all()) await expect(plot).toHaveCSS('break-inside', 'avoid');
});
