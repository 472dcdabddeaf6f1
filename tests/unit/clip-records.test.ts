import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/lib/findings/analyse.ts';
import { passagesOfRace } from '../../src/lib/clips/passages-of-race.ts';
import { readPassage } from '../../src/lib/clips/read-passage.ts';
import { stepFigures } from '../../src/lib/clips/step-figures.ts';
import { recordSchema, type TallyRecord } from '../../src/lib/records/record.ts';
import { viewOfRace } from '../../src/lib/sightings/race-view.ts';
import { tableOfRecords } from '../../src/lib/sightings/table-of-records.ts';
import { changesCsv } from '../../src/lib/tables/sightings/changes-csv.ts';
import { clipsCsv, marksCsv, stepsCsv } from '../../src/lib/tables/clips/clip-tables.ts';
import { marksAgainstSightings } from '../../src/lib/tables/clips/marks-against-sightings.ts';
import { readMarks } from '../../src/lib/tables/clips/marks-reader.ts';
import { SightingsReader } from '../../src/lib/tables/sightings/sightings-reader.ts';
import { sightingsCsv } from '../../src/lib/tables/sightings/sightings-csv.ts';
import * as v from 'valibot';
import { CLIP_RACE, clipKey, recordsOfKey } from '../helpers/clips/clip-records.ts';

type View = ReturnType<typeof viewOfRace>;

const bytes = (pieces: Iterable<string>) => new TextEncoder().encode([...pieces].join(''));
const cells = (pieces: Iterable<string>) => {
  const [head = '', ...rows] = [...pieces].map((line) => line.trimEnd());
  const headings = head.split(',');
  return rows.map((row) => Object.fromEntries(row.split(',').map((cell, i) => [headings[i]!, cell])));
};

describe.each(['single', 'pack', 'stretched'])('%s, marked as its key says', (name) => {
  const key = clipKey(name);
  const records = recordsOfKey(key);
  const view = viewOfRace(CLIP_RACE, records);

  it('is sound records', () => {
    for (const record of records) expect(v.safeParse(recordSchema, record).issues).toBeUndefined();
  });

  it('gives frames exactly, times within a frame of the drawn ones, angles within 0.05° and the classes of the key', () => {
    const frame = 1 / key.recordedFps;
    const { passages } = passagesOfRace(view);
    const byBib = new Map(passages.map(({ passage }) => [passage.bib, passage]));
    let steps = 0;
    for (const runner of key.runners) {
      if (runner.steps.length === 0) continue;
      const passage = byBib.get(runner.bib)!;
      const reading = readPassage(passage.marks);
      expect(reading.steps).toHaveLength(runner.steps.length);
      for (const [i, step] of reading.steps.entries()) {
        const drawn = runner.steps.toSorted((a, b) => a.contact - b.contact)[i]!;
        const figures = stepFigures(passage, reading, step);
        expect(reading.marks[step.contact]!.frame).toBe(drawn.contact);
        expect(reading.marks[step.toeoff]!.frame).toBe(drawn.toeOff);
        expect(figures.contact!.value).toBeCloseTo((drawn.toeOff - drawn.contact) * frame, 5);
        expect(Math.abs(figures.contact!.value - drawn.contactSeconds)).toBeLessThan(frame);
        // Points rounded to a tenth of a pixel move an angle of a shoe of 52 pixels by up to 0.16°.
        if (drawn.strikeAngle !== null)
          expect(Math.abs(figures.strikeAngle!.value - drawn.strikeAngle)).toBeLessThan(0.16);
        if (drawn.shankAngle !== null) expect(Math.abs(figures.shankAngle!.value - drawn.shankAngle)).toBeLessThan(0.1);
        steps += 1;
      }
    }
    expect(steps).toBeGreaterThan(5);
    expect(cells(stepsCsv(view))).toHaveLength(steps);
  });

  it('gives the same findings from records and from the tables written of them', () => {
    const marks = readMarks(bytes(marksCsv(view)));
    if (!marks.ok) throw new Error(JSON.stringify(marks.error));
    const reader = new SightingsReader();
    reader.push(bytes(sightingsCsv(view)));
    const read = reader.finish();
    if (!read.ok) throw new Error(JSON.stringify(read.error));
    expect(marksAgainstSightings(marks.value, read.value.table, read.value.race)).toEqual([]);
    const fromTables = analyse(read.value.table, null, { marks: marks.value.table });
    expect(fromTables).toEqual(analyse(tableOfRecords(view), null, { marks: passagesOfRace(view).table }));
    expect(fromTables.gait![0]!.groups.all.contact.n).toBeGreaterThan(0);
  });

  it('says which foot was near, and numbers clips and passages where bibs are codes', () => {
    const code = (bib: string) => `c${bib}`;
    const coded = { bibText: code, coding: { bib: code, runner: code } };
    for (const row of cells(sightingsCsv(view, coded)))
      expect(row).toMatchObject({ near_foot: key.direction, clip: '1' });
    expect(cells(marksCsv(view, coded))[0]).toMatchObject({ clip: '1', passage: '1', bib: `c${key.runners[0]!.bib}` });
    expect(cells(clipsCsv(view))[0]).toMatchObject({ frames: String(key.frames), fps_recorded: '240' });
  });
});

describe('a mirrored clip', () => {
  const key = clipKey('single');
  const records = recordsOfKey(key);
  const mirrored = records.map((one) => (one.kind === 'clip' ? { ...one, mirrored: true as const } : one));
  const [plain, turned] = [records, mirrored].map((set) => viewOfRace(CLIP_RACE, set)) as [View, View];
  const other = (words: string, one: string, two: string) => (words === one ? two : one);

  it('changes near and far, and no direction, foot, time or angle', () => {
    const steps = cells(stepsCsv(plain));
    expect(steps.length).toBeGreaterThan(5);
    expect(cells(stepsCsv(turned))).toEqual(steps.map((row) => ({ ...row, side: other(row['side']!, 'near', 'far') })));
    expect(cells(marksCsv(turned))).toEqual(
      cells(marksCsv(plain)).map((row) => ({ ...row, side: other(row['side']!, 'near', 'far') })),
    );
    const near = cells(sightingsCsv(plain)).map((row) => other(row['near_foot']!, 'left', 'right'));
    expect(cells(sightingsCsv(turned)).map((row) => row['near_foot'])).toEqual(near);
  });
});

describe('marks that are mended', () => {
  const key = clipKey('pack');
  const records = recordsOfKey(key);
  const first = records.find((record) => record.kind === 'mark')!;
  const made = (more: object): TallyRecord =>
    ({
      ...{ id: '01930000-0000-7000-8000-000000000001', race: CLIP_RACE.id, observer: 'R', device: 'desk', seq: 900 },
      ...{ madeAt: '2033-01-13T00:00:00.000Z', ...more },
    }) as TallyRecord;

  it('take the frame of a correction, in any order of the records, and say so in the list of changes', () => {
    const correction = made({ kind: 'correction', target: first.id, frame: 30, atUs: 125_000, gapUs: 4167 });
    for (const set of [
      [...records, correction],
      [correction, ...records],
    ]) {
      const view = viewOfRace(CLIP_RACE, set);
      expect(view.projection.marks.find(({ record }) => record.id === first.id)).toMatchObject({
        frame: 30,
        atUs: 125_000,
      });
      expect([...changesCsv(view)].join('')).toContain(`${first.id},frame,${first.frame},30,R,`);
    }
  });

  it('lose their bib with the sighting, and their rate with the clip', () => {
    const clip = records.find((record) => record.kind === 'clip')!;
    const sighting = records.find((record) => record.kind === 'sighting')!;
    const without = viewOfRace(CLIP_RACE, [...records, made({ kind: 'withdrawal', target: sighting.id })]);
    const { gait } = analyse(tableOfRecords(without), null, { marks: passagesOfRace(without).table });
    expect(gait![0]!.excluded.noSighting).toBe(3 * key.runners[0]!.steps.length);
    const unrated = viewOfRace(CLIP_RACE, [...records, made({ kind: 'withdrawal', target: clip.id })]);
    expect(passagesOfRace(unrated).passages).toEqual([]);
  });

  it('all change their times with the clip’s next record, and none is lost', () => {
    const clip = records.find((record) => record.kind === 'clip')!;
    const slower = made({
      ...clip,
      id: '01930000-0000-7000-8000-000000000002',
      seq: 901,
      fpsRecorded: 120,
      madeAt: '2033-01-13T00:00:00.000Z',
    });
    const contact = (set: readonly TallyRecord[]) => {
      const view = viewOfRace(CLIP_RACE, set);
      return analyse(tableOfRecords(view), null, { marks: passagesOfRace(view).table }).gait![0]!.groups.all.contact;
    };
    expect(contact([...records, slower]).mean! / contact(records).mean!).toBeCloseTo(2, 4);
  });

  it('beyond the end of the clip are counted and left out', () => {
    const beyond = made({ ...first, id: '01930000-0000-7000-8000-000000000003', frame: key.frames, note: '' });
    const view = viewOfRace(CLIP_RACE, [...records, beyond]);
    expect(analyse(tableOfRecords(view), null, { marks: passagesOfRace(view).table }).gait![0]!.excluded.outside).toBe(
      1,
    );
  });
});
