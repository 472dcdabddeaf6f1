// What the pieces written by hand win over the library or the platform's own way: seconds of processor time, the middle
// one of a few runs. The lines beside these pieces name figures of this benchmark.
import { readFileSync, rmSync, mkdtempSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { chromium } from '@playwright/test';
import Papa from 'papaparse';
import * as v from 'valibot';
import { GrowingColumn } from '../../src/lib/findings/growing-column.ts';
import { recordSchema } from '../../src/lib/records/record.ts';
import { recordLine } from '../../src/lib/records/canonical-record.ts';
import { decodeUtf8 } from '../../src/lib/records/utf8.ts';
import { readPush } from '../../src/lib/server/push/read-push.ts';
import { CsvScanner } from '../../src/lib/tables/csv/csv-scanner.ts';
import { instantOfBytes } from '../../src/lib/tables/csv/instant-of-bytes.ts';
import { wordFinder } from '../../src/lib/tables/csv/word-finder.ts';
import { SightingsReader } from '../../src/lib/tables/sightings/sightings-reader.ts';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { writeLargeRace } from '../helpers/records/large-race.mjs';

const SIGHTINGS = 1_000_000;
const RUNS = 3;

/** Processor time of `work` in seconds: the middle one. */
function cpu(work) {
  const all = Array.from({ length: RUNS }, () => {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1e6;
  });
  return Number(all.sort((a, b) => a - b)[RUNS >> 1].toFixed(3));
}

async function csv() {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-by-hand-'));
  const path = join(folder, 'sightings.csv');
  await writeLargeRace(SIGHTINGS, path, join(folder, 'results.csv'));
  const bytes = readFileSync(path);
  const decoder = new TextDecoder('utf-8', { fatal: true });
  rmSync(folder, { recursive: true });
  const scan = () => new CsvScanner(() => undefined);
  return {
    rows: SIGHTINGS,
    scanner: cpu(() => {
      const scanner = scan();
      scanner.push(bytes);
      scanner.end();
    }),
    papaparse: cpu(() => Papa.parse(decoder.decode(bytes), { delimiter: ',', step: () => undefined })),
    whole_reader: cpu(() => {
      const reader = new SightingsReader();
      reader.push(bytes);
      reader.finish();
    }),
  };
}

function cells() {
  const times = 1_000_000;
  const encode = (text) => new TextEncoder().encode(text);
  const instant = encode('2031-05-04T07:25:11.250Z');
  const bib = encode('10457');
  const feet = ['rearfoot', 'midfoot', 'forefoot', 'unseen'];
  const foot = encode('forefoot');
  const find = wordFinder(feet);
  const decoder = new TextDecoder('utf-8', { fatal: true });
  const repeat = (work) =>
    cpu(() => {
      for (let i = 0; i < times; i += 1) work();
    });
  return {
    cells: times,
    instant: repeat(() => instantOfBytes(instant, 0, instant.length)),
    instant_by_date: repeat(() => Date.parse(decoder.decode(instant))),
    word: repeat(() => find(foot, 0, foot.length)),
    word_by_text: repeat(() => feet.indexOf(decoder.decode(foot))),
    text: repeat(() => decodeUtf8(bib, 0, bib.length)),
    text_by_decoder: repeat(() => decoder.decode(bib.subarray(0, bib.length))),
  };
}

function push() {
  const records = Array.from({ length: 500 }, (_, i) => ({
    id: `0197a1b2-c3d4-7000-8000-${i.toString(16).padStart(12, '0')}`,
    race: '0197a1b2-0000-7000-8000-000000000001',
    device: '0197a1b2-0000-7000-8000-000000000002',
    ...{ seq: i + 1, observer: 'N1', kind: 'sighting', checkpoint: 'c1', bib: String(i + 1) },
    ...{ left: 'rearfoot', right: 'midfoot', method: 'live' },
    ...{ madeAt: '2026-10-04T08:00:00.000Z', observedAt: '2026-10-04T07:59:58.000Z' },
  }));
  const lines = records.map((record) => recordLine(v.parse(recordSchema, record)));
  const text = `{"records":[${lines.join(',')}],"lastSeq":500}`;
  if (!readPush(text).ok) throw new Error('the push is not read');
  const times = 100;
  const repeat = (work) =>
    cpu(() => {
      for (let i = 0; i < times; i += 1) work();
    });
  return {
    records: times * records.length,
    reader: repeat(() => readPush(text)),
    schema: repeat(() => JSON.parse(text).records.map((value) => recordLine(v.parse(recordSchema, value)))),
  };
}

function growth() {
  const numbers = 10_000_000;
  return {
    numbers,
    copied: cpu(() => {
      const column = new GrowingColumn();
      for (let i = 0; i < numbers; i += 1) column.push(i);
    }),
    transferred: cpu(() => {
      let values = new Int32Array(16);
      for (let i = 0; i < numbers; i += 1) {
        if (i === values.length) values = new Int32Array(values.buffer.transfer(values.byteLength * 2));
        values[i] = i;
      }
    }),
  };
}

const ROWS = 5000;
const LIST_CSS = `
  .box { height: 800px; width: 380px; overflow-y: auto; contain: strict }
  .row { height: 96px; content-visibility: auto; contain-intrinsic-size: auto 96px }
  .whole { position: relative } .whole .row { position: absolute; left: 0; right: 0; content-visibility: visible }`;
const rowHtml = (i) =>
  `<div class="row" role="listitem"><p><strong>Bib ${i}</strong> disputed at Mill Bridge</p><p>N1 rearfoot, rearfoot · S1 midfoot, rearfoot</p><button>Rule</button> <button>Leave</button></div>`;

/** A list of all rows, those out of sight not laid out; or of those in sight alone. */
async function list(page, whole) {
  await page.setContent(`<style>${LIST_CSS}</style><div class="box" role="list"></div>`);
  return page.evaluate(
    async ({ rows, whole, row }) => {
      const html = (i) => row.replaceAll('#', String(i));
      const box = document.querySelector('.box');
      const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
      const start = performance.now();
      const inSight = () => {
        const from = Math.max(0, Math.floor(box.scrollTop / 96) - 6);
        const to = Math.min(rows, from + 21);
        const shown = Array.from({ length: to - from }, (_, i) => html(from + i));
        box.firstElementChild.innerHTML = shown.join('');
        [...box.firstElementChild.children].forEach((one, i) => (one.style.top = `${(from + i) * 96}px`));
      };
      if (whole) box.innerHTML = Array.from({ length: rows }, (_, i) => html(i)).join('');
      else {
        box.innerHTML = `<div class="whole" style="height:${rows * 96}px"></div>`;
        box.addEventListener('scroll', inSight);
        inSight();
      }
      void box.offsetHeight;
      await frame();
      await frame();
      const shown_ms = performance.now() - start;
      const gaps = [];
      let last = performance.now();
      for (let i = 0; i < 120; i += 1) {
        box.scrollTop = (i * rows * 96) / 120;
        await frame();
        gaps.push(performance.now() - last);
        last = performance.now();
      }
      gaps.sort((a, b) => a - b);
      return {
        shown_ms: Math.round(shown_ms),
        frame_p95_ms: Math.round(gaps[113]),
        elements: box.querySelectorAll('*').length,
      };
    },
    { rows: ROWS, whole, row: rowHtml('#') },
  );
}

async function lists() {
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const figures = async (whole) => {
      const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
      const session = await page.context().newCDPSession(page);
      await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
      const shown = await list(page, whole);
      await session.send('HeapProfiler.collectGarbage');
      await session.send('Performance.enable');
      const { metrics } = await session.send('Performance.getMetrics');
      const of = (name) => metrics.find((one) => one.name === name)?.value ?? 0;
      await page.close();
      return { ...shown, nodes: of('Nodes'), layout_s: Number(of('LayoutDuration').toFixed(2)) };
    };
    return { rows: ROWS, slowed: 4, content_visibility: await figures(true), in_sight_alone: await figures(false) };
  } finally {
    await browser.close();
  }
}

export default async function byHandBench() {
  return {
    load: loadavg()[0],
    csv: await csv(),
    cells: cells(),
    push: push(),
    growth: growth(),
    list: await lists(),
  };
}
