import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RACE_ID, rearranged, recordId, recordSet } from '../../../tests/helpers/records/record-arbitraries.ts';
import { mergeRecords } from '../records/merge-records.ts';
import type { Race } from '../race/race.ts';
import type { TallyRecord } from '../records/record.ts';
import { readHandoffFiles, writeHandoff } from './handoff-file.ts';

const race: Race = {
  id: RACE_ID,
  name: 'Alder Ten',
  date: '2026-10-04',
  checkpoints: [
    { id: 'k5', name: 'Mill', km: 5 },
    { id: 'k15', name: 'Weir', km: 15 },
  ],
};
const bytesOf = (text: string) => new TextEncoder().encode(text);
const fileOf = (records: Iterable<TallyRecord>, setUp: Race = race) => [...writeHandoff(setUp, records)].join('');
const source = (name: string, text: string | Uint8Array, pieceLength = 50) => {
  const bytes = typeof text === 'string' ? bytesOf(text) : text;
  const chunks: Uint8Array[] = [];
  for (let at = 0; at < bytes.length; at += pieceLength) chunks.push(bytes.subarray(at, at + pieceLength));
  return { name, chunks };
};
/** What `merge` does: reads files and writes their union. */
async function merged(...files: string[]): Promise<string> {
  const read = await readHandoffFiles(files.map((text, i) => source(`${i}.ndjson`, text)));
  if (!read.ok) throw new Error(read.error.faults.map((f) => `${f.file}:${f.line}: ${f.message}`).join('\n'));
  return fileOf(read.value.records, read.value.race);
}
async function faultsOf(...files: (string | Uint8Array)[]): Promise<string[]> {
  const read = await readHandoffFiles(files.map((text, i) => source('AB'[i] ?? 'C', text, 65_536)));
  if (read.ok) return [];
  return read.error.faults.map((f) => `${f.file} ${f.line}: ${f.message}`);
}

const setUp = fc
  .record({
    revision: fc.option(fc.integer({ min: 0, max: 2 }), { nil: undefined }),
    name: fc.constantFrom('X', 'Ä', 'x'),
  })
  .map(({ revision, name }): Race => ({ ...race, name, ...(revision === undefined ? {} : { revision }) }));
/** Three files whose records never contradict each other. */
const threeFiles = recordSet
  .chain((records) =>
    fc.tuple(
      ...[0, 1, 2].map(() =>
        fc.tuple(
          setUp,
          fc.subarray(records).chain((part) => rearranged(part)),
        ),
      ),
    ),
  )
  .map((files) => files.map(([own, records]) => fileOf(records, own)) as [string, string, string]);

const SIGHTING = {
  left: 'rearfoot',
  right: 'midfoot',
  gait: 'run',
  note: '',
  id: recordId(2),
  kind: 'sighting',
  race: RACE_ID,
  observer: 'A',
  device: 'tablet-1',
  seq: 1,
  madeAt: '2026-10-04T07:30:00.120Z',
  checkpoint: 'k5',
  bib: '007',
  method: 'live',
  observedAt: '2026-10-04T07:30:00.000Z',
};
const HEADER = JSON.stringify({ format: 'kerbside-records', version: 1, race });
const line = (fields: object) => JSON.stringify({ ...SIGHTING, ...fields });

describe('hand-off file', () => {
  it('writes the race first, then records by id, fields in one order, defaults left out', async () => {
    const feetCorrected = {
      ...{ id: recordId(1), kind: 'correction', race: RACE_ID, observer: 'A', device: 'tablet-1', seq: 2 },
      ...{ madeAt: '2026-10-04T07:31:00.000Z', target: recordId(2), gait: 'run', left: 'forefoot', right: 'forefoot' },
    };
    expect(await merged([HEADER, line({}), JSON.stringify(feetCorrected), ''].join('\n'))).toBe(
      `{"format":"kerbside-records","version":1,"race":{"id":"${RACE_ID}","name":"Alder Ten","date":"2026-10-04",` +
        '"checkpoints":[{"id":"k5","name":"Mill","km":5},{"id":"k15","name":"Weir","km":15}]}}\n' +
        `{"id":"${recordId(1)}","kind":"correction","race":"${RACE_ID}","observer":"A","device":"tablet-1","seq":2,` +
        `"madeAt":"2026-10-04T07:31:00.000Z","target":"${recordId(2)}","left":"forefoot","right":"forefoot"}\n` +
        `{"id":"${recordId(2)}","kind":"sighting","race":"${RACE_ID}","observer":"A","device":"tablet-1","seq":1,` +
        '"madeAt":"2026-10-04T07:30:00.120Z","checkpoint":"k5","bib":"007","left":"rearfoot","right":"midfoot",' +
        '"method":"live","observedAt":"2026-10-04T07:30:00.000Z"}\n',
    );
  });

  it('gives back every record it was given', async () => {
    await fc.assert(
      fc.asyncProperty(recordSet, fc.integer({ min: 1, max: 200 }), async (records, pieceLength) => {
        const read = await readHandoffFiles([source('A', fileOf(records), pieceLength)]);
        expect(read).toMatchObject({ ok: true });
        const written = read.ok ? fileOf(read.value.records) : '';
        expect(written).toBe(fileOf(records));
        expect(read.ok && read.value.records.map((r) => r.id)).toEqual(mergeRecords(records).records.map((r) => r.id));
      }),
    );
  });

  it('merges commutatively, associatively and idempotently to the byte', async () => {
    await fc.assert(
      fc.asyncProperty(threeFiles, async ([a, b, c]) => {
        const whole = await merged(a, b, c);
        expect(await merged(c, a, b)).toBe(whole);
        expect(await merged(b, a)).toBe(await merged(a, b));
        expect(await merged(await merged(a, b), c)).toBe(whole);
        expect(await merged(a, await merged(b, c))).toBe(whole);
        expect(await merged(whole)).toBe(whole);
        expect(await merged(whole, a, whole)).toBe(whole);
      }),
      { numRuns: 200 },
    );
  });

  it('lets the race line with the greater revision stand, at equal revisions the greater line', async () => {
    const headerOf = (name: string, revision?: number) =>
      fileOf([], { ...race, name, ...(revision === undefined ? {} : { revision }) });
    expect(await merged(headerOf('Z', 1), headerOf('A', 2))).toBe(headerOf('A', 2));
    expect(await merged(headerOf('Z', 2), headerOf('A', 2))).toBe(headerOf('Z', 2));
    expect(await merged(headerOf('Z'), headerOf('A', 1))).toBe(headerOf('A', 1));
  });

  it('reads byte-order mark, CRLF and blank lines, and a last line without an end', async () => {
    expect(await merged(`\ufeff${HEADER}\r\n\r\n${line({})}`)).toBe(await merged(`${HEADER}\n${line({})}\n`));
  });

  it('names file and line of every fault', async () => {
    const cut = line({ id: recordId(3) }).slice(0, 40);
    expect(
      await faultsOf(
        [HEADER, line({}), line({ id: recordId(4), left: 'toe' }), '42', cut].join('\n'),
        [HEADER, line({ bib: '8' }), line({ id: recordId(5), race: '00000000-0000-4000-8000-000000000000' })].join(
          '\n',
        ),
      ),
    ).toEqual([
      'A 3: left: expected "rearfoot", "midfoot", "forefoot" or "unseen", found "toe"',
      expect.stringMatching(/^A 4: /) as string,
      'A 5: this line is not one whole JSON value',
      `B 2: id ${recordId(2)} has other content than in A, line 2`,
      'B 3: race: the record belongs to another race',
    ]);
  });

  it('refuses one id with two contents within one file', async () => {
    expect(await faultsOf([HEADER, line({}), line({}), line({ note: 'late' })].join('\n'))).toEqual([
      `A 4: id ${recordId(2)} has other content than in A, line 2`,
    ]);
  });

  it('refuses files of different races', async () => {
    const other = HEADER.replace(RACE_ID, '00000000-0000-4000-8000-000000000000');
    expect(await faultsOf(HEADER, other)).toEqual([
      expect.stringMatching(/^B 1: race: .* is another race than/) as string,
    ]);
  });

  it.each([
    ['', /^A 1: the file is empty/],
    ['{}', /^A 1: no hand-off file/],
    ['record_id,race', /^A 1: no hand-off file/],
    [HEADER.replace('"version":1', '"version":2'), /^A 1: version: expected 1/],
    [HEADER.replace('"date"', '"day"'), /^A 1: race\./],
    [`${HEADER}\n${line({ colour: 'red' })}`, /^A 2: colour: /],
    [`${HEADER}\n${line({ gait: 'walk' })}`, /^A 2: a walker has both feet unseen/],
    [`${HEADER}\n${'['.repeat(100_000)}`, /^A 2: this line is not one whole JSON value/],
    [`${HEADER}\n${'x'.repeat(1_100_000)}`, /^A 2: this line is too long/],
  ])('refuses %#', async (text, said) => {
    const faults = await faultsOf(text);
    expect(faults).toEqual([expect.stringMatching(said) as string]);
  });

  it('names the line that is not UTF-8', async () => {
    const good = bytesOf(`${HEADER}\n${line({})}\n`);
    const bad = bytesOf(line({ id: recordId(3), observer: 'Ä' }));
    bad[bad.indexOf(0xc3)] = 0xff;
    expect(await faultsOf(new Uint8Array([...good, ...bad]))).toEqual(['A 3: this line is not UTF-8 text']);
  });
});
