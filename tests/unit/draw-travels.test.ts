import { describe, expect, it } from 'vitest';
import { drawsOfRace } from '../../src/lib/findings/sections/corrected/draws-of-race.ts';
import { drawValidation, validationStates } from '../../src/lib/findings/sections/corrected/validation-draw.ts';
import { resolveRace } from '../../src/lib/findings/resolved-race.ts';
import type { Race } from '../../src/lib/race/race.ts';
import type { TallyRecord } from '../../src/lib/records/record.ts';
import { viewOfRace, type RaceView } from '../../src/lib/sightings/race-view.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { readHandoffFiles, writeHandoff } from '../../src/lib/tables/handoff-file.ts';
import { RACE_ID, recordId } from '../helpers/records/record-arbitraries.ts';

const race: Race = {
  ...{ id: RACE_ID, name: 'Alder Ten', date: '2031-05-04' },
  checkpoints: [{ id: 'weir', name: 'Weir', km: 15 }],
};
const made = (n: number, device: string, seq: number) => ({
  ...{ id: recordId(n), race: RACE_ID, device, seq },
  madeAt: `2031-05-04T09:${String(n % 60).padStart(2, '0')}:00.000Z`,
});
const sighting = (n: number, bib: string, method: 'live' | 'clip'): TallyRecord => ({
  ...made(n, method === 'live' ? 'tablet' : 'laptop', n + 1),
  ...{ kind: 'sighting', observer: method === 'live' ? 'A' : 'B', checkpoint: 'weir', bib, method },
  ...{ left: 'rearfoot', right: 'rearfoot', observedAt: '2031-05-04T09:00:00.000Z' },
});

/** What one device hands on and another reads. */
async function handedOn(records: readonly TallyRecord[]): Promise<RaceView> {
  const bytes = new TextEncoder().encode([...writeHandoff(race, records)].join(''));
  const read = await readHandoffFiles([{ name: 'a.ndjson', chunks: [bytes] }]);
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return viewOfRace(race, read.value.records);
}
const statesOf = (view: RaceView) =>
  validationStates(resolveRace(tableOfRecords(view), 'exclude'), drawsOfRace(view, []), [0]);

describe('a draw of runners to review', () => {
  const live = Array.from({ length: 50 }, (_, i) => sighting(i, String(100 + i), 'live'));
  const runners = drawValidation(resolveRace(tableOfRecords(viewOfRace(race, live)), 'exclude'), 0, 7);
  const draw: TallyRecord = {
    ...made(60, 'laptop', 1),
    ...{ kind: 'draw', observer: 'L1', checkpoint: 'weir', seed: 7 },
    bibs: runners.map(({ bib }) => bib),
    live: runners.map((runner) => runner.live),
  };

  it('goes with the hand-off file; another device ticks off, and tells whom nobody drew', async () => {
    const here = await handedOn([...live, draw]);
    expect(statesOf(here)[0]!.draws[0]!.runners).toEqual(runners.map((runner) => ({ ...runner, reviewed: false })));
    const others = live.map((record) => ('bib' in record ? record.bib! : '')).filter((bib) => !draw.bibs.includes(bib));
    const there = await handedOn([
      ...here.records,
      sighting(61, runners[0]!.bib, 'clip'),
      sighting(62, others[0]!, 'clip'),
    ]);
    const [state] = statesOf(there);
    expect(state!.draws[0]!.runners.filter(({ reviewed }) => reviewed)).toEqual([{ ...runners[0]!, reviewed: true }]);
    expect(state!.beyond).toEqual([others[0]]);
  });

  it('that was withdrawn is out; one that an earlier version kept on the device goes on', () => {
    const withdrawal: TallyRecord = {
      ...made(63, 'laptop', 2),
      ...{ kind: 'withdrawal', observer: 'L1', target: draw.id },
    };
    const old = { checkpoint: 'Weir', seed: 1, drawnAt: '2031-05-03T09:00:00.000Z', runners };
    expect(drawsOfRace(viewOfRace(race, [...live, draw]), [old]).map(({ seed }) => seed)).toEqual([1, 7]);
    expect(drawsOfRace(viewOfRace(race, [...live, draw, withdrawal]), [])).toEqual([]);
  });
});
