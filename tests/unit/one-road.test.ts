import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command } from '../../src/cli/check/check.ts';
import { doubtsJson } from '../../src/cli/check/doubts-json.ts';
import { checkRace } from '../../src/lib/check/check-race.ts';
import { inputOfRecords } from '../../src/lib/check/input/input-of-records.ts';
import { demoRace } from '../../src/lib/demo/demo-race.ts';
import type { Ruling, TallyRecord } from '../../src/lib/records/record.ts';
import { entriesOf, viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import { sightingsCsv } from '../../src/lib/tables/sightings/sightings-csv.ts';
import { catchOutput } from '../helpers/catch-output.ts';

// Records go one road to check, findings and exports. Where there were several, they disagreed.

const demo = demoRace();
const ruling = (n: number, foot: 'rearfoot' | 'forefoot'): Ruling => ({
  ...{ id: `0199ffff-0000-7000-8000-00000000000${n}`, kind: 'ruling', race: demo.race.id, observer: 'Lead' },
  ...{ device: 'desk', seq: n, madeAt: `2026-10-04T18:00:0${n}.000Z`, checkpoint: demo.race.checkpoints[0]!.id },
  ...{ bib: demo.plants.dispute.bib, left: foot, right: foot },
});
/** Two rulings of one runner: the second stands. */
const records: TallyRecord[] = [...demo.records, ruling(1, 'rearfoot'), ruling(2, 'forefoot')];
const devices = [...new Set(records.map((record) => record.device))];
const offsetsMs = new Map(devices.map((device, i) => [device, i * 1000 - 2000]));

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kerbside-'));
});
afterAll(async () => {
  await rm(folder, { recursive: true });
});
async function file(name: string, lines: Iterable<string>): Promise<string> {
  const path = join(folder, name);
  await writeFile(path, [...lines].join(''));
  return path;
}
async function check(...args: string[]): Promise<string> {
  const { said, io } = catchOutput();
  expect(await command.run([...args, '--json'], io), said.err).toBe(0);
  return said.out;
}
const lists = async () => [
  '--startlist',
  await file('l.csv', ['Bib\n', ...demo.startList.map(({ bib }) => `${bib}\n`)]),
  '--results',
  await file('r.csv', ['Bib,Finish\n', ...demo.results.map(({ bib, finish }) => `${bib},${finish ?? ''}\n`)]),
];
const startList = demo.startList.map(({ bib }) => ({ bib }));
const results = demo.results.map(({ bib, finish }) => ({ bib, ...(finish === undefined ? {} : { finish }) }));

describe('one road from records', () => {
  it('gives the screen and the command line the same doubts from the exported table, every clock and ruling included', async () => {
    // What no table can say is left out of the screen's view: its set-up knows of no post and no planned silence.
    const { observers: _, samplingRule: __, ...race } = demo.race;
    const view = viewOfRace(race, records);
    const input = inputOfRecords(view, { startList, results, offsetsMs });
    const csv = await file('s.csv', sightingsCsv(view, { offsetMs: offsetsMs }));
    const told = ['--start', race.start!, '--finish-clock', race.finishClock!, '--km', String(race.km)];
    const printed = await check('--sightings', csv, ...(await lists()), ...told);
    // A hole in the counting that is no sighting's is the one thing a table cannot show.
    const ofSightings = { ...input, devices: input.devices.filter(({ device }) => device !== 'desk') };
    expect(printed).toBe(doubtsJson(checkRace(ofSightings), ofSightings));
    expect(JSON.parse(printed)).not.toEqual({ doubts: [] });
  });

  it('gives both the same doubts from a hand-off file, with the lead’s decisions and the whole set-up', async () => {
    const first = checkRace(inputOfRecords(viewOfRace(demo.race, records), { startList, results }))[0]!;
    const decided: TallyRecord[] = [
      ...records,
      {
        ...{ id: '0199ffff-0000-7000-8000-000000000009', kind: 'acceptance', race: demo.race.id, observer: 'Lead' },
        ...{ device: 'desk', seq: 3, madeAt: '2026-10-04T18:00:09.000Z', doubt: first.key, settles: first.kind },
        targets: [],
      },
    ];
    const input = inputOfRecords(viewOfRace(demo.race, decided), { startList, results });
    const printed = await check(await file('all.ndjson', writeHandoff(demo.race, decided)), ...(await lists()));
    expect(printed).toBe(doubtsJson(checkRace(input), input));
    expect(input.leftAsIs.has(first.key)).toBe(true);
  });

  it('leaves out everywhere, and counts, what was seen at a checkpoint that the race no longer has', () => {
    const race = { ...demo.race, checkpoints: demo.race.checkpoints.slice(1) };
    const view = viewOfRace(race, records);
    const gone = demo.race.checkpoints[0]!.id;
    const there = [...entriesOf(viewOfRace(demo.race, records))];
    expect(view.offCourse).toEqual(there.filter((one) => one.checkpoint === gone).map((one) => one.record.id));
    expect(view.offCourse.length).toBeGreaterThan(100);
    const left = there.length - view.offCourse.length;
    expect(tableOfRecords(view).size).toBe(left);
    expect([...sightingsCsv(view)]).toHaveLength(left + 1);
    const { sightings } = inputOfRecords(view, { startList, results });
    expect(sightings).toHaveLength(left);
  });
});
