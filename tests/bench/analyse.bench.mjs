// Whole-process time and peak memory of `analyse --json` on files of 10,000 to 1,000,000 sightings, beside an
// R script that does the core of the same job (where R with data.table is installed).
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { writeLargeRace } from '../helpers/records/large-race.mjs';

const SIZES = [10_000, 100_000, 1_000_000];
const RUNS = 3;
const here = (path) => fileURLToPath(new URL(path, import.meta.url));

/** Peak resident memory of a running process in MB, as far as the system tells (Linux). */
function peakMegabytes(pid) {
  try {
    const kilobytes = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
    return kilobytes === undefined ? 0 : Number(kilobytes) / 1024;
  } catch {
    return 0;
  }
}

/** Runs a program to its end: seconds from start to exit, and the greatest memory seen. */
function measured(program, args) {
  return new Promise((resolve, reject) => {
    const start = performance.now();
    const child = spawn(program, args, { stdio: ['ignore', 'ignore', 'pipe'] });
    let said = '';
    let peak = 0;
    child.stderr.on('data', (text) => (said += text));
    const watch = setInterval(() => (peak = Math.max(peak, peakMegabytes(child.pid))), 20);
    child.on('error', reject);
    child.on('close', (code) => {
      clearInterval(watch);
      if (code !== 0) reject(new Error(`${program} ended with ${code}: ${said.slice(-500)}`));
      else resolve({ seconds: (performance.now() - start) / 1000, peak });
    });
  });
}

async function medianOf(runs, program, args) {
  const all = [];
  for (let i = 0; i < runs; i += 1) all.push(await measured(program, args));
  all.sort((a, b) => a.seconds - b.seconds);
  const middle = all[Math.floor(runs / 2)].seconds;
  return { seconds: Number(middle.toFixed(2)), peak_MB: Math.round(Math.max(...all.map(({ peak }) => peak))) };
}

const hasR = () =>
  spawnSync('Rscript', ['-e', 'quit(status = !requireNamespace("data.table", quietly = TRUE))']).status === 0;

export default async function analyseBench() {
  const launched = spawnSync(process.execPath, [here('../../src/cli/launch.mjs'), 'analyse', '--help']);
  if (launched.status !== 0) throw new Error(`the command line does not start: ${launched.stderr}`);
  const built = here('../../src/cli/launch.mjs');
  const folder = mkdtempSync(join(tmpdir(), 'kerbside-bench-'));
  try {
    const figures = { runs_median_of: RUNS };
    for (const size of SIZES) {
      const sightings = join(folder, `sightings-${size}.csv`);
      const results = join(folder, `results-${size}.csv`);
      await writeLargeRace(size, sightings, results);
      const args = [built, 'analyse', '--sightings', sightings, '--results', results, '--json'];
      const own = await medianOf(RUNS, process.execPath, args);
      figures[`sightings_${size}`] = { file_MB: Math.round(statSync(sightings).size / 1e6), ...own };
      if (size !== SIZES.at(-1)) continue;
      figures.target = { peak_MB_at_1000000: 500, seconds_at_1000000: 'no more than the R script' };
      if (hasR()) {
        const peer = await medianOf(RUNS, 'Rscript', [here('analyse-peer.R'), sightings, results]);
        figures.r_script_1000000 = peer;
        figures.share_of_r_time = Number((own.seconds / peer.seconds).toFixed(2));
      } else figures.r_script_1000000 = 'not measured: Rscript with data.table is not installed';
    }
    return figures;
  } finally {
    rmSync(folder, { recursive: true });
  }
}
