import { readFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import { chromium } from '@playwright/test';
import { drawSet } from '../../src/lib/practice/draw-set.ts';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { knowDice } from '../helpers/browser/known-dice.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

const SEED = 7;
const CLASSES = ['rearfoot', 'midfoot', 'forefoot'];
const LONGEST_MS = 20 * 60_000;

/** What is answered at each position: right but for a slip at every tenth and nothing seen at every fortieth. */
const planned = (landings) =>
  landings.map((landing, i) => {
    if (i % 40 === 39) return 'unseen';
    return i % 10 === 4 ? CLASSES[(CLASSES.indexOf(landing.class) + 1) % 3] : landing.class;
  });

/** Answers from within the page, by the position that the screen shows: a tap before contact counts for nothing. */
function answerFromWithin(answers) {
  setInterval(() => {
    const position = Number(document.querySelector('.count')?.textContent.match(/^(\d+) of/)?.[1]);
    const cell = document.querySelector(`[data-cell$="-${answers[position - 1]}"]:not([disabled])`);
    cell?.dispatchEvent(new MouseEvent('click', { bubbles: true, detail: 0 }));
  }, 50);
}

async function rowsOf(page) {
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save practice.csv' }).click();
  const [, ...rows] = readFileSync(await (await saved).path(), 'utf8')
    .trimEnd()
    .split('\r\n');
  return rows.map((row) => {
    const cells = row.split(',');
    return {
      position: Number(cells[3]),
      item: cells[4],
      class: cells[5],
      answer: cells[6],
      voided: Number(cells.at(-1)),
    };
  });
}

/** A row a class: how often each answer was given, *not seen* last. */
const counted = (rows) =>
  CLASSES.map((name) =>
    [...CLASSES, 'unseen'].map((given) => rows.filter((one) => one.class === name && one.answer === given).length),
  );

/** All 120 landings of a test at real speed, answered by a script: every one scored as it was drawn. Throws otherwise. */
export default async function practiceSoak() {
  const hub = await startHub({
    port: Number(process.env.KERBSIDE_TEST_PORT ?? 4373),
    key: 'soak-organiser-key-0123456',
  });
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  const began = Date.now();
  try {
    const page = await (await browser.newContext({ hasTouch: true, viewport: { width: 390, height: 844 } })).newPage();
    await knowDice(page, SEED);
    await page.goto(`${hub.url}/practice`);
    await page.getByLabel('Observer').fill('S1');
    const drawn = drawSet({ seed: SEED, items: 120, level: 4, mix: [1, 1, 1] });
    const answers = planned(drawn);
    await page.evaluate(answerFromWithin, answers);
    await page.getByRole('button', { name: 'Begin the test' }).click();
    await page.getByRole('heading', { name: /^Test, / }).waitFor({ timeout: LONGEST_MS });
    const rows = await rowsOf(page);
    const classOf = new Map(drawn.map((landing) => [landing.item, landing.class]));
    const faults = [
      ...(rows.length === 120 && new Set(rows.map(({ item }) => item)).size === 120 ? [] : ['not each item once']),
      ...rows.filter((one) => one.class !== classOf.get(one.item)).map(({ item }) => `${item}: class`),
      ...rows.filter((one) => one.answer !== answers[one.position - 1]).map(({ item }) => `${item}: answer`),
    ];
    const table = counted(rows);
    const cells = await page.locator('table').first().locator('tbody td').allTextContents();
    if (cells.map(Number).join() !== table.flat().join()) faults.push(`the screen shows ${cells.join()}`);
    if (faults.length > 0) throw new Error(faults.join('; '));
    const voided = rows.reduce((sum, row) => sum + row.voided, 0);
    const verdict = await page.locator('.verdict').textContent();
    return { answered: rows.length, voided, table, verdict, tookS: (Date.now() - began) / 1000, load: loadavg()[0] };
  } finally {
    await browser.close();
    await hub.end();
  }
}
