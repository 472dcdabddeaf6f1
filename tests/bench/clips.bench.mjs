import { execFileSync } from 'node:child_process';
import { closeSync, ftruncateSync, mkdtempSync, openSync, readFileSync, rmSync, statSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { seededRandom } from '../helpers/seeded-random.mjs';
import { serveFrames } from '../helpers/screen/serve-frames.mjs';

// Clips that are too large to keep: made with ffmpeg on the spot. Opening files of 644 MB and 4 GB (sparse, with an index of
// as many frames), stepping at 1920 × 1080, and finding runners on a longer clip with noise and changing light.
const FOLDER = fileURLToPath(new URL('../reference/clips/', import.meta.url));
const COUNT = 100;
/** Of single.mp4: nobody is in the middle of the picture. */
const EMPTY_FRAME = 740;

/** @param {string[]} options */
const ffmpeg = (...options) => void execFileSync('ffmpeg', ['-v', 'error', '-y', ...options]);
/** @param {string} name */
const keyOf = (name) => JSON.parse(readFileSync(`${FOLDER}${name}.json`, 'utf8'));
/** @param {number[]} values @param {number} share */
const quantile = (values, share) => [...values].sort((a, b) => a - b)[Math.floor(share * (values.length - 1))];
/** @param {number | undefined} value */
const rounded = (value) => Math.round((value ?? NaN) * 10) / 10;

/**
 * A clip of tiny pictures with a hole before its index, so that it is as large as a film of that length.
 * @param {string} folder @param {number} frames @param {number} bytes
 */
function sparseClip(folder, frames, bytes) {
  const small = join(folder, `small-${frames}.mp4`);
  const source = `color=gray:s=64x48:r=240:d=${frames / 240}`;
  ffmpeg('-f', 'lavfi', '-i', source, '-c:v', 'libx264', '-preset', 'ultrafast', '-g', '30', small);
  const whole = readFileSync(small);
  const index = whole.indexOf('moov', 0, 'latin1') - 4;
  const large = join(folder, `large-${frames}.mp4`);
  const file = openSync(large, 'w');
  // Places of the pictures are counted from the start of the file: the hole comes after them.
  writeSync(file, whole.subarray(0, index));
  const hole = Buffer.alloc(16);
  hole.writeUInt32BE(1, 0);
  hole.write('free', 4, 'latin1');
  hole.writeBigUInt64BE(BigInt(bytes - whole.length), 8);
  writeSync(file, hole);
  ftruncateSync(file, index + bytes - whole.length);
  writeSync(file, whole.subarray(index), 0, undefined, index + bytes - whole.length);
  closeSync(file);
  return large;
}

/** @param {number} frames */
function walks(frames) {
  const random = seededRandom(7);
  const middle = Math.floor(frames / 2);
  return {
    on: Array.from({ length: COUNT }, (_, i) => middle + i),
    back: Array.from({ length: COUNT }, (_, i) => middle - i),
    jump: Array.from({ length: COUNT }, () => Math.floor(random() * frames)),
  };
}

/**
 * MiB that the page's process holds: its own, and shared with the browser, which keeps drawn pictures there until memory
 * is short. `null` where the system does not tell (Linux does).
 * @param {import('@playwright/test').Browser} browser
 */
async function heldMiB(browser) {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  const pages = processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => statusOf(id));
  /** @param {string} name */
  const sum = (name) => {
    const kilobytes = pages.map((status) => Number(new RegExp(`${name}:\\s*(\\d+)`).exec(status)?.[1] ?? NaN));
    const all = kilobytes.reduce((one, other) => one + other, 0);
    return Number.isFinite(all) ? rounded(all / 1024) : null;
  };
  return { own: sum('RssAnon'), shared: sum('RssShmem') };
}
/** @param {number} id */
function statusOf(id) {
  try {
    return readFileSync(`/proc/${id}/status`, 'utf8');
  } catch {
    return '';
  }
}

/** Opening, stepping and searching of clips made on the spot. */
export default async function clips() {
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-clips-'));
  const server = await serveFrames(folder);
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: ['--no-sandbox', '--disable-gpu'] });
  const page = await browser.newPage();
  await page.goto(server.address);
  await page.waitForFunction(() => 'harness' in globalThis);
  /** @param {string} path @param {boolean} decoder */
  const open = async (path, decoder) => {
    await page.locator('input').setInputFiles(path);
    return page.evaluate((with_) => /** @type {any} */ (globalThis).harness.openChosen(with_), decoder);
  };
  try {
    const opening = [];
    for (const [frames, bytes] of /** @type {const} */ ([
      [43_200, 644e6],
      [288_000, 4e9],
    ])) {
      const path = sparseClip(folder, frames, bytes);
      const { openMs, facts } = await open(path, true);
      opening.push({ bytes: statSync(path).size, frames: facts.frames, openMs: rounded(openMs) });
    }

    const stepping = [];
    const memory = [];
    const { frames, barCode } = keyOf('single');
    const bar = { ...barCode, x: 2 * barCode.x, y: 2 * barCode.y, cell: 2 * barCode.cell };
    const h264 = ['-c:v', 'libx264', '-preset', 'veryfast', '-b:v', '26M', '-bf', '2'];
    const vp9 = ['-c:v', 'libvpx-vp9', '-deadline', 'realtime', '-cpu-used', '8', '-row-mt', '1', '-b:v', '26M'];
    for (const [codec, gop, options, ending] of /** @type {const} */ ([
      ['H.264', 30, h264, 'mp4'],
      ['H.264', 240, h264, 'mp4'],
      ['VP9', 30, vp9, 'webm'],
    ])) {
      const path = join(folder, `full-hd-${gop}.${ending}`);
      const large = ['-vf', 'scale=1920:1080:flags=neighbor', ...options, '-g', String(gop)];
      ffmpeg('-i', `${FOLDER}single.mp4`, ...large, path);
      for (const decoder of [true, false]) {
        await page.reload();
        await page.waitForFunction(() => 'harness' in globalThis);
        const before = await heldMiB(browser);
        const opened = await open(path, decoder);
        for (const [kind, places] of Object.entries(walks(frames))) {
          for (const paused of kind === 'jump' ? [false] : [false, true]) {
            const options = paused ? { pauseMs: 100, ahead: kind === 'on' ? 1 : -1 } : {};
            const shown = await page.evaluate(
              ([l, b, o]) => /** @type {any} */ (globalThis).harness.steps(l, b, o),
              /** @type {const} */ ([places, bar, options]),
            );
            const ms = shown.map((/** @type {{ms: number}} */ one) => one.ms);
            stepping.push({
              ...{ codec, gop, by: opened.kind, steps: paused ? `${kind}, ten a second` : kind, of: shown.length },
              exact: shown.filter((/** @type {any} */ one) => one.asked === one.seen).length,
              ...{ medianMs: rounded(quantile(ms, 0.5)), p95Ms: rounded(quantile(ms, 0.95)) },
              mostHeldMiB: rounded(Math.max(...shown.map((/** @type {any} */ one) => one.heldBytes)) / 2 ** 20),
            });
          }
        }
        const open_ = await heldMiB(browser);
        await page.evaluate(() => /** @type {any} */ (globalThis).harness.close());
        await page.requestGC();
        memory.push({
          codec,
          gop,
          by: opened.kind,
          beforeMiB: before,
          openMiB: open_,
          closedMiB: await heldMiB(browser),
        });
      }
    }

    const inspector = await page.context().newCDPSession(page);
    await inspector.send('Memory.simulatePressureNotification', { level: 'critical' });
    await page.waitForTimeout(2000);
    const shortMiB = await heldMiB(browser);

    // Five runners, six times over, with empty stretches between, noise, and light that comes and goes.
    const times = 6;
    const still = 2400;
    const long = join(folder, 'long.mp4');
    const pieces = [
      // The last frame has a walker in it, who would stand there for ten seconds: the stretches show a frame without anybody.
      `[0:v]split[a][b];[b]trim=start_frame=${EMPTY_FRAME}:end_frame=${EMPTY_FRAME + 1},loop=loop=${still - 1}:size=1`,
      `setpts=N/240/TB[c];[a][c]concat,loop=loop=${times - 1}:size=${frames + still}:start=0`,
      `noise=alls=15:allf=t,eq=brightness='0.05*sin(t)':eval=frame[v]`,
    ];
    const fast = ['-c:v', 'libx264', '-preset', 'ultrafast', '-crf', '26', '-g', '60'];
    ffmpeg('-i', `${FOLDER}single.mp4`, '-filter_complex', pieces.join(','), '-map', '[v]', '-an', ...fast, long);
    const opened = await open(long, true);
    const search = await page.evaluate((fps) => /** @type {any} */ (globalThis).harness.search(fps), 240);
    const middles = Array.from({ length: times }, (_, round) =>
      keyOf('single').runners.map((/** @type {any} */ runner) => {
        const [first, last] = [runner.steps[0], runner.steps.at(-1)];
        const pace = (last.points.heel[0] - first.points.heel[0]) / (last.contact - first.contact);
        return round * (frames + still) + first.contact + (480 - first.points.heel[0]) / pace;
      }),
    ).flat();
    const hit = (/** @type {{from: number, to: number}} */ one) =>
      middles.some((middle) => middle >= one.from - 12 && middle <= one.to + 12);
    return {
      opening,
      stepping,
      memory,
      memoryWhereShortMiB: shortMiB,
      searching: {
        ...{ frames: opened.facts.frames, runners: middles.length, places: search.found.length },
        runnersFound: middles.filter((middle) =>
          search.found.some((/** @type {any} */ one) => middle >= one.from - 12 && middle <= one.to + 12),
        ).length,
        placesWithoutRunner: search.found.filter((/** @type {any} */ one) => !hit(one)).length,
        ...{ searchMs: rounded(search.searchMs), playsMs: rounded(search.playsMs) },
      },
    };
  } finally {
    await browser.close();
    await server.close();
    rmSync(folder, { recursive: true });
  }
}
