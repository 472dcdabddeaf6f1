import { existsSync, mkdirSync, renameSync } from 'node:fs';
import { availableParallelism, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { _QRScanner } from 'qr/decode.js';
import { CODE_SIZES } from '../../src/lib/screen/code-size.ts';
import { CodeSequence } from '../../src/lib/screen/code-sequence.ts';
import { FrameCollector } from '../../src/lib/screen/frame-collector.ts';
import { packPayload } from '../../src/lib/screen/pack-payload.ts';
import { unpackPayload } from '../../src/lib/screen/unpack-payload.ts';
import { unpackTools } from '../../src/lib/ui/screen/receive/unpack-tools.ts';
import { seededWords } from '../../src/lib/records/seeded-random.ts';
import { codePicture } from '../../src/lib/ui/screen/show/code-picture.ts';
import { browserThatSees } from '../helpers/screen/fake-camera.ts';
import { freePort } from '../helpers/free-port.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';
import { runWorkersOnThePage } from '../helpers/browser/workers-on-the-page.ts';
import { makeRecords } from '../reference/screen/make-records.mjs';
import { CAMERA, CameraView, codeOf, writeClip } from '../reference/screen/screen-clip.mjs';
import { measureHeld } from './screen-held.mjs';

const SLOWED = 4;
const DRAWS = 1000;
const SESSION = 20_261_004;
/** A clip of camera pictures takes a minute for every ten seconds of it: made once, then kept. */
const CLIPS = join(tmpdir(), 'kerbside-screen-clips');

/** What is received, with the goal in seconds. `onPage`: all work on a main thread that is slowed four times. */
const TRANSFERS = [
  { records: 500, loss: 0.2, clipSeconds: 6, goalS: 4 },
  { records: 500, loss: 0.2, clipSeconds: 6, goalS: null, onPage: true },
  { records: 1200, loss: 0.2, clipSeconds: 12, goalS: 7 },
  { records: 1200, loss: 0.2, clipSeconds: 12, goalS: 10, onPage: true },
  { records: 1200, loss: 0.5, clipSeconds: 18, goalS: 14 },
  { records: 5000, loss: 0.2, clipSeconds: 30, goalS: 24 },
  { records: 5000, loss: 0.2, clipSeconds: 30, goalS: null, onPage: true },
];

const quantile = (sorted, p) => sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))];
const rounded = (value) => Math.round(value * 100) / 100;

function payloadOf(records) {
  const packed = packPayload(makeRecords(records));
  if (!packed.ok) throw new Error(packed.error.type);
  return packed.value.bytes;
}

/** The clip of a transfer, made unless an earlier run left it. */
function clipOf({ records, loss, clipSeconds }) {
  mkdirSync(CLIPS, { recursive: true });
  const path = join(CLIPS, `${records}-${loss}-${clipSeconds}.y4m`);
  if (existsSync(path)) return path;
  const sequence = new CodeSequence(payloadOf(records), 'usual', SESSION);
  const texts = Array.from({ length: clipSeconds * 12 + 12 }, (_, n) => sequence.text(n));
  writeClip(
    `${path}.part`,
    new CameraView((n) => codeOf(texts, n, CODE_SIZES.usual.qrVersion, 'L'), { loss }),
    clipSeconds,
  );
  renameSync(`${path}.part`, path);
  return path;
}

/** Seconds from the press on the button until the records stand there to be taken. */
async function receive(url, transfer) {
  const browser = await browserThatSees(clipOf(transfer));
  try {
    const page = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
    if (transfer.onPage) await runWorkersOnThePage(page);
    await page.goto(`${url}/join`);
    const film = page.getByRole('button', { name: 'Film another tablet’s codes' });
    await film.waitFor();
    if (transfer.onPage) {
      const devtools = await page.context().newCDPSession(page);
      await devtools.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
    }
    const before = Date.now();
    await film.click();
    await page.getByRole('button', { name: `Take ${transfer.records} records` }).waitFor({ timeout: 120_000 });
    const seconds = (Date.now() - before) / 1000;
    return {
      ...transfer,
      seconds: rounded(seconds),
      goalMet: transfer.goalS === null ? null : seconds <= transfer.goalS,
    };
  } finally {
    await browser.close();
  }
}

/** Frames beyond the blocks over many draws of what is lost. */
function measureErasures(loss) {
  const blocks = 41;
  const extra = [];
  for (let draw = 0; draw < DRAWS; draw += 1) {
    const next = seededWords(draw + 1);
    const payload = Uint8Array.from({ length: blocks * CODE_SIZES.coarse.blockBytes }, () => next());
    const sequence = new CodeSequence(payload, 'coarse', next());
    const collector = new FrameCollector();
    let different = 0;
    for (let n = 0; collector.payload === null; n += 1) {
      if (next() / 2 ** 32 < loss) continue;
      collector.take(sequence.text(n));
      different += 1;
    }
    extra.push(different - collector.needed);
  }
  extra.sort((a, b) => a - b);
  return { median: quantile(extra, 0.5), p99: quantile(extra, 0.99), most: extra.at(-1), goal: { median: 0, p99: 0 } };
}

/** Processor time, so that what else the machine does counts less; `SLOWED` times it is what the goals are about. */
function cpuMs(work) {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

function measurePictures() {
  const sequence = new CodeSequence(payloadOf(1200), 'usual', SESSION);
  const texts = Array.from({ length: 60 }, (_, n) => sequence.text(n));
  const view = new CameraView((n) => codeOf(texts, n, sequence.qrVersion, 'L'), { loss: 0.2 });
  // As the receiver does: the square in the middle.
  const side = CAMERA.height;
  const left = (CAMERA.width - side) / 2;
  const scanner = new _QRScanner({ maxSize: { width: side, height: side }, effort: 1 });
  let readable = 0;
  const reading = Array.from({ length: 90 }, (_, i) => {
    const picture = view.frame(i);
    const data = new Uint8Array((side * side * 3) / 2);
    for (let y = 0; y < side; y += 1) {
      data.set(picture.subarray(y * CAMERA.width + left, y * CAMERA.width + left + side), y * side);
    }
    return cpuMs(() => {
      scanner.addImage({ width: side, height: side, data }, 'I420');
      if (typeof scanner.decode()[0] === 'string') readable += 1;
    });
  }).slice(30);
  const making = Array.from({ length: 60 }, (_, n) =>
    cpuMs(() => codePicture(sequence.text(n), n, sequence.qrVersion)),
  );
  const median = (times) =>
    rounded(
      SLOWED *
        quantile(
          [...times].sort((a, b) => a - b),
          0.5,
        ),
    );
  return {
    picturesReadable: `${readable} of 90`,
    readingSlowedMs: { median: median(reading), goal: 60 },
    makingSlowedMs: { median: median(making), goal: 40 },
  };
}

async function measurePacking(records) {
  const file = makeRecords(records);
  const before = performance.now();
  const packed = packPayload(file);
  const packMs = performance.now() - before;
  if (!packed.ok) throw new Error(packed.error.type);
  const tools = await unpackTools();
  const after = performance.now();
  await unpackPayload(packed.value.bytes, tools);
  return {
    records,
    bytesARecord: rounded(packed.value.bytes.length / records),
    asText: rounded(file.length / records),
    packMs: rounded(packMs),
    unpackMs: rounded(performance.now() - after),
  };
}

/** JavaScript that the Join page loads, and what filming and reading load besides, gzipped, in kB (goal of both together: 25). */
async function measureScripts(url, { records, ...clip }) {
  const browser = await browserThatSees(clipOf({ records, ...clip }));
  try {
    const page = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
    let scripts = [];
    page.on('response', (response) => {
      if (response.url().endsWith('.js')) scripts.push(response.body().catch(() => Buffer.alloc(0)));
    });
    const loaded = async () => {
      await page.waitForTimeout(500);
      const bodies = await Promise.all(scripts);
      scripts = [];
      return rounded(bodies.reduce((sum, body) => sum + gzipSync(body).length, 0) / 1000);
    };
    await page.goto(`${url}/join`);
    const film = page.getByRole('button', { name: 'Film another tablet’s codes' });
    await film.waitFor();
    const pageKb = await loaded();
    await film.click();
    await page.getByText('parts').first().waitFor();
    const filmingKb = await loaded();
    await page.getByRole('button', { name: `Take ${records} records` }).waitFor({ timeout: 60_000 });
    return { pageKb, filmingKb, readingKb: await loaded() };
  } finally {
    await browser.close();
  }
}

/**
 * The hand-off from screen to camera, against the goals that were set for it: packing, the erasure code, reading and making
 * codes, and whole transfers in Chromium whose camera sees a made clip (a simulation, no tablet). Needs what `npm run build`
 * makes.
 */
export default async function screen() {
  const packing = [];
  for (const records of [500, 1200, 5000, 20_000]) packing.push(await measurePacking(records));
  const erasures = [0, 0.2, 0.5].map((loss) => ({ loss, ...measureErasures(loss) }));
  const pictures = measurePictures();
  const hub = await startHub({ port: await freePort(), key: 'bench-organiser-key-0123456789' });
  try {
    const transfers = [];
    for (const transfer of TRANSFERS) transfers.push(await receive(hub.url, transfer));
    const scripts = await measureScripts(hub.url, TRANSFERS[0]);
    const held = await measureHeld(hub.url);
    return { cores: availableParallelism(), load: loadavg()[0], packing, erasures, pictures, transfers, scripts, held };
  } finally {
    await hub.end();
  }
}
