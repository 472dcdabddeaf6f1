import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { CLIP_RACE, clipKey, recordsOfKey } from '../../../tests/helpers/clips/clip-records.ts';
import { checkRace } from '../../lib/check/check-race.ts';
import { leaveAsIs } from '../../lib/check/decisions.ts';
import { inputOfRecords } from '../../lib/check/input/input-of-records.ts';
import type { TallyRecord } from '../../lib/records/record.ts';
import { viewOfRace } from '../../lib/sightings/race-view.ts';
import { marksCsv } from '../../lib/tables/clips/clip-tables.ts';
import { writeHandoff } from '../../lib/tables/handoff-file.ts';
import { sightingsCsv } from '../../lib/tables/sightings/sightings-csv.ts';
import { command } from './check.ts';

/** Without a post, of which nothing has come. */
const RACE = { ...CLIP_RACE, observers: [] };

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kerbside-'));
});
afterEach(async () => {
  await rm(folder, { recursive: true });
});

async function check(records: readonly TallyRecord[], ...more: string[]): Promise<string> {
  const path = join(folder, 'all.ndjson');
  await writeFile(path, writeHandoff(RACE, records));
  const { said, io } = catchOutput();
  expect(await command.run([path, ...more], io)).toBe(0);
  return said.out;
}

const atRate = (records: readonly TallyRecord[], times: number): TallyRecord[] =>
  records.map((one) => (one.kind === 'clip' ? { ...one, fpsRecorded: one.fpsRecorded * times } : one));

// The reference clips are drawn from gaits inside the limits; their keys say where each foot is.
it.each(['single', 'pack', 'stretched'])(
  'asks nothing of %s as its key marks it, and once when its rate is wrong',
  async (name) => {
    const records = recordsOfKey(clipKey(name));
    expect(await check(records)).toBe('0 doubts\n');
    for (const times of [1 / 2, 1 / 4, 2]) {
      const out = await check(atRate(records, times));
      expect(out).toMatch(/^1 doubt\n {2}1 in clips \(clip\)\n/);
      expect(out).toContain(`At ${240 * times} frames/s the median cadence is`);
      expect(out).toContain('At 240 frames/s it would be');
    }
  },
);

it('checks the marks of a table beside its sightings, as those of a hand-off file', async () => {
  for (const [times, said] of [
    [1, /^0 doubts\n/],
    [1 / 2, /^1 doubt\n {2}1 in clips \(clip\)\n/],
  ] as const) {
    const view = viewOfRace(RACE, atRate(recordsOfKey(clipKey('single')), times));
    const [sightings, marks] = [join(folder, 'sightings.csv'), join(folder, 'marks.csv')];
    await writeFile(sightings, [...sightingsCsv(view)].join(''));
    await writeFile(marks, [...marksCsv(view)].join(''));
    const { said: out, io } = catchOutput();
    expect(await command.run(['--sightings', sightings, '--marks', marks], io)).toBe(0);
    expect(out.out).toMatch(said);
    const { said: refused, io: other } = catchOutput();
    await writeFile(marks, [...marksCsv(view)].join('').replaceAll(',107,', ',108,'));
    expect(await command.run(['--sightings', sightings, '--marks', marks], other)).toBe(2);
    expect(refused.err).toContain('column bib: "108" is not the "107" of its sighting');
  }
});

it('asks which of two rates of one file is right, unless the first was taken back', async () => {
  const records = recordsOfKey(clipKey('single'));
  const clip = records.find((one) => one.kind === 'clip')!;
  const made = (more: object, n: number) =>
    ({
      ...{ id: `01930000-0000-7000-8000-00000000000${n}`, race: RACE.id, observer: 'R2', device: 'other', seq: n },
      ...{ madeAt: '2033-01-13T00:00:00.000Z', ...more },
    }) as TallyRecord;
  const { id: _, seq: __, device: ___, observer: ____, madeAt: _____, ...said } = clip;
  const second = made({ ...said, fpsRecorded: 239.76 }, 1);
  const out = await check([...records, second]);
  expect(out).toMatch(/^1 doubt\n {2}1 in clips \(clip\)\n/);
  expect(out).toContain('recorded at 239.8 or 240 frames/s?');
  expect(out).toContain('The later one, 239.8, stands');
  expect(await check([...records, second, made({ kind: 'withdrawal', target: clip.id }, 2)])).toBe('0 doubts\n');
});

it('does not list again what the lead accepts', async () => {
  const records = atRate(recordsOfKey(clipKey('single')), 1 / 2);
  const [doubt] = checkRace(inputOfRecords(viewOfRace(RACE, records), { startList: null, results: null }));
  const seq = records.length + 1;
  const decided = leaveAsIs(doubt!).map(
    (draft) =>
      ({
        ...draft,
        ...{ id: '01920000-0000-7000-8000-0000000000ff', race: RACE.id, observer: 'Lead', device: 'desk', seq },
        madeAt: '2033-01-12T10:00:00.000Z',
      }) as TallyRecord,
  );
  expect(await check([...records, ...decided])).toBe('0 doubts\n');
});
