// Invented sightings and results of any size, written to files: for benchmarks only.
import { createWriteStream } from 'node:fs';
import { once } from 'node:events';
import { seededRandom } from '../seeded-random.mjs';

const PLACES = [
  ['Pump House', 5],
  ['Long Dike', 15],
  ['Two Bridges', 25],
  ['Market Cross', 37.5],
];
const OBSERVERS = ['North', 'South'];
const FEET = ['rearfoot', 'midfoot', 'forefoot'];

async function writeRows(path, rows) {
  const file = createWriteStream(path);
  let block = '';
  for (const row of rows) {
    block += row;
    if (block.length < 1 << 20) continue;
    if (!file.write(block)) await once(file, 'drain');
    block = '';
  }
  file.end(block);
  await once(file, 'close');
}

const two = (n) => String(n).padStart(2, '0');
const clock = (s) => `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(Math.floor(s) % 60)}`;

function* sightingRows(runners, random) {
  yield 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note,gait\r\n';
  const hex = (n, digits) => Math.floor(n).toString(16).padStart(digits, '0');
  const start = Date.UTC(2031, 4, 4, 7);
  let row = 0;
  for (const [place, km] of PLACES) {
    for (let runner = 0; runner < runners; runner += 1) {
      const own = random();
      for (const observer of OBSERVERS) {
        row += 1;
        const strike = own < 0.85 ? 0 : own < 0.94 ? 1 : 2;
        const slip = () => (random() < 0.03 ? 'unseen' : FEET[random() < 0.95 ? strike : Math.floor(random() * 3)]);
        const walks = random() < 0.02;
        const at = new Date(start + Math.floor((km * 300 + runner * 0.05 + random() * 20) * 1000)).toISOString();
        const id = `0197${hex(row, 4).slice(-4)}-${hex(row % 65536, 4)}-7000-8000-${hex(row, 12)}`;
        const feet = walks ? 'unseen,unseen' : `${slip()},${slip()}`;
        yield `${id},Dike Marathon,${place},${km},${runner + 1},${feet},${observer},live,${at},,${walks ? 'walk' : ''}\r\n`;
      }
    }
  }
}

function* resultRows(runners, random) {
  yield 'bib,finish,sex,age,status\r\n';
  for (let runner = 0; runner < runners; runner += 1) {
    const finish = random() < 0.04 ? '' : clock(8000 + 12000 * random() * random() + runner * 0.01);
    yield `${runner + 1},${finish},${random() < 0.4 ? 'F' : 'M'},${18 + Math.floor(random() * 55)},${finish ? '' : 'DNF'}\r\n`;
  }
}

/** Writes `sightings` rows (4 checkpoints, 2 observers each) and results for all their runners. */
export async function writeLargeRace(sightings, sightingsPath, resultsPath) {
  const runners = Math.round(sightings / (PLACES.length * OBSERVERS.length));
  const random = seededRandom(2031);
  await writeRows(sightingsPath, sightingRows(runners, random));
  await writeRows(resultsPath, resultRows(runners, random));
}
