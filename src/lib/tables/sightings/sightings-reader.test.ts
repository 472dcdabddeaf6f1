import { describe, expect, it } from 'vitest';
import { FOOT_VALUES } from '../../records/foot.ts';
import { isPassed, isTimeEstimated, leftOf, LIVE, methodOf, RULING } from '../../sightings/seen.ts';
import { NO_BIB } from '../../sightings/sighting-table.ts';
import { readSightings, SightingsReader } from './sightings-reader.ts';
import { tableFaultWords } from '../csv/table-fault.ts';

const HEADINGS = 'record_id,race,checkpoint,km,bib,left,right,observer,method,observed_at,note';
const GOOD = 'a1,Mill Ten,Sluice,9.5,184,rearfoot,midfoot,D1,live,2031-09-01T06:21:44+01:00,';

function read(content: string | Uint8Array, size = 1_000_000) {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const reader = new SightingsReader();
  for (let at = 0; at < bytes.length; at += size) reader.push(bytes.subarray(at, at + size));
  return reader.finish();
}

function tableOf(content: string, size?: number) {
  const outcome = read(content, size);
  if (!outcome.ok) throw new Error(outcome.error.faults.map(tableFaultWords).join('\n'));
  return outcome.value;
}

function faultsOf(content: string | Uint8Array): string[] {
  const outcome = read(content);
  return outcome.ok ? [] : outcome.error.faults.map(tableFaultWords);
}

/** The faults of one row, `GOOD` with some cells changed. */
function faultsWith(changes: Record<string, string>, headings = HEADINGS): string[] {
  const cells = GOOD.split(',').concat(
    headings
      .split(',')
      .slice(11)
      .map(() => ''),
  );
  const names = headings.split(',');
  for (const [name, value] of Object.entries(changes)) cells[names.indexOf(name)] = `"${value}"`;
  return faultsOf(`${headings}\n${cells.join(',')}\n`);
}

describe('SightingsReader', () => {
  it('reads columns in any order, ignores unknown ones, trims bibs', () => {
    const { table, rows } = tableOf(
      [
        'note,gait,observed_at,method,observer,right,left,bib,km,checkpoint,race,record_id,weather',
        ',,2031-09-01T06:21:44+01:00,live,D1,midfoot,forefoot, 007\u00a0,9.5,Sluice,Mill Ten,a1,wet',
        '"a ""note"", with\nlines",walk,2031-09-01T05:21:45Z,ruling,D2,unseen,unseen,,9.50,Sluice,Mill Ten,a2,',
      ].join('\r\n'),
      5,
    );
    expect(rows).toBe(2);
    expect(table.bibs).toEqual(['007']);
    expect(table.bib[1]).toBe(NO_BIB);
    expect(FOOT_VALUES[leftOf(table.seen[0]!)]).toBe('forefoot');
    expect(methodOf(table.seen[1]!)).toBe(RULING);
    expect(table.observedAtMs[1]! - table.observedAtMs[0]!).toBe(1000);
  });

  it('takes off the apostrophe that an export sets before free text', () => {
    const { table } = tableOf(`${HEADINGS}\na1,R,'=Mill,5,'-12,rearfoot,rearfoot,'@K,live,2031-09-01T06:21:44Z,'+x\n`);
    expect(table.checkpoints[0]!.name).toBe('=Mill');
    expect(table.bibs).toEqual(['-12']);
    expect(table.observers).toEqual(['@K']);
    expect(tableOf(`${HEADINGS}\n${GOOD.replace('184', "'84")}`).table.bibs).toEqual(["'84"]);
  });

  it('counts a record that stands twice and refuses other content under its id', () => {
    const twice = tableOf(`${HEADINGS}\n${GOOD}\n${GOOD.replace('+01:00', '+01:00')}\n`);
    expect([twice.rows, twice.table.size, twice.table.sameRecord]).toEqual([2, 1, 1]);
    expect(faultsOf(`${HEADINGS}\n${GOOD}\n${GOOD.replace('midfoot', 'forefoot')}\n`)).toEqual([
      'row 3, column record_id: "a1" stands in an earlier row with other content',
    ]);
  });

  it('takes an empty gait for run and unknown columns for no content', () => {
    const { table } = tableOf(`${HEADINGS},gait,x\n${GOOD},,1\n${GOOD},run,2\n`);
    expect([table.size, table.sameRecord]).toEqual([1, 1]);
  });

  it.each<[Record<string, string>, string]>([
    [{ left: 'toe' }, 'column left: "toe" is not one of rearfoot, midfoot, forefoot, unseen'],
    [{ right: ' rearfoot' }, 'column right: " rearfoot" is not one of rearfoot, midfoot, forefoot, unseen'],
    [{ method: 'video' }, 'column method: "video" is not one of live, clip, ruling'],
    [{ km: '-1' }, 'column km: "-1" is not a distance in km of 0 or more, such as 5 or 17.25'],
    [{ km: '0x10' }, 'column km: "0x10" is not a distance in km of 0 or more, such as 5 or 17.25'],
    [{ km: '1e999' }, 'column km: "1e999" is not a distance in km of 0 or more, such as 5 or 17.25'],
    [{ km: '' }, 'column km: "" is not a distance in km of 0 or more, such as 5 or 17.25'],
    [
      { observed_at: '1 Sept 2031' },
      'column observed_at: "1 Sept 2031" is not a date and time with offset, such as 2026-10-04T09:30:05+02:00',
    ],
    [{ record_id: '' }, 'column record_id: is empty'],
    [{ checkpoint: '' }, 'column checkpoint: is empty'],
    [{ observer: '' }, 'column observer: is empty'],
  ])('names row and column of %j', (changes, text) => {
    expect(faultsWith(changes)).toEqual([`row 2, ${text}`]);
  });

  it('shows no control character of a bad bib', () => {
    const [text, ...more] = faultsWith({ bib: '12\u001b[31m' });
    expect(more).toEqual([]);
    expect(text).toContain('row 2, column bib: ');
    expect(text).toContain('has a control character');
    // eslint-disable-next-line no-control-regex -- the point of the check
    expect(text).not.toMatch(/[\u0000-\u001f]/);
    expect(faultsWith({ bib: '1\u202e2' })).toHaveLength(1);
    expect(faultsWith({ checkpoint: 'Mill\u0007' })).toHaveLength(1);
  });

  it('refuses the foot of a walker', () => {
    const faults = faultsWith({ gait: 'walk' }, `${HEADINGS},gait`);
    expect(faults).toEqual([
      'row 2, column left: "rearfoot" is not unseen, as both feet of a walker (gait walk) are',
      'row 2, column right: "midfoot" is not unseen, as both feet of a walker (gait walk) are',
    ]);
    expect(faultsWith({ gait: 'jog' }, `${HEADINGS},gait`)).toEqual([
      'row 2, column gait: "jog" is not one of run, walk',
    ]);
  });

  it('reads who was let pass and which times were estimated; nothing there is neither', () => {
    const headings = `${HEADINGS},passed,timeEstimated`;
    const unseen = GOOD.replace('rearfoot,midfoot', 'unseen,unseen');
    const { table } = tableOf(`${headings}\n${unseen},true,\n${GOOD.replace('a1', 'a2')},,true\n`);
    const marks = [...table.seen].map((seen) => [isPassed(seen), isTimeEstimated(seen), methodOf(seen)]);
    expect(marks).toEqual([
      [true, false, LIVE],
      [false, true, LIVE],
    ]);
    expect(isPassed(tableOf(`${HEADINGS}\n${unseen}\n`).table.seen[0]!)).toBe(false);
    expect(faultsWith({ passed: 'yes', left: 'unseen', right: 'unseen' }, headings)).toEqual([
      'row 2, column passed: "yes" is neither true nor empty',
    ]);
    expect(faultsWith({ passed: 'true', right: 'unseen' }, headings)).toEqual([
      'row 2, column left: "rearfoot" is not unseen, as both feet of a runner who was let pass (passed true) are',
    ]);
    const unseenFeet = { left: 'unseen', right: 'unseen' };
    expect(faultsWith({ passed: 'true', gait: 'walk', ...unseenFeet }, `${headings},gait`)).toEqual([
      'row 2, column gait: "walk" is walk for a runner who was let pass (passed true): nobody looked',
    ]);
    expect(faultsWith({ passed: 'true', method: 'ruling', ...unseenFeet }, headings)).toEqual([
      'row 2, column passed: "true" is true for a ruling, which says what was seen',
    ]);
    expect(faultsWith({ timeEstimated: 'no' }, headings)).toEqual([
      'row 2, column timeEstimated: "no" is neither true nor empty',
    ]);
  });

  it('refuses two km for one checkpoint, two races, too few cells', () => {
    const other = GOOD.replace('a1', 'a2');
    expect(faultsOf(`${HEADINGS}\n${GOOD}\n${other.replace('9.5', '10')}`)).toEqual([
      'row 3, column km: "10" is not the 9.5 km that checkpoint "Sluice" has in row 2',
    ]);
    expect(faultsOf(`${HEADINGS}\n${GOOD}\n${other.replace('Mill Ten', 'Weir Ten')}`)).toEqual([
      'row 3, column race: "Weir Ten" is another race than "Mill Ten" of the rows before: one file holds one race',
    ]);
    expect(faultsOf(`${HEADINGS}\n${GOOD}\na2,Mill Ten`)).toEqual(['row 3: has 2 cells where the headings have 11']);
  });

  it('names missing and doubled columns', () => {
    expect(faultsOf(`${HEADINGS.replace('left,', '').replace('note', 'km')}\n${GOOD}\n`)).toEqual(
      [
        expect.stringContaining('row 1, column km: stands twice in the headings'),
        expect.stringContaining('row 1, column left: is missing; the headings are "record_id"'),
        expect.stringContaining('row 1, column note: is missing'),
      ].sort((a, b) => String(a).localeCompare(String(b))),
    );
  });

  it('says what is no table at all', () => {
    expect(faultsOf('')).toEqual(['the file is empty; expected a row of headings']);
    expect(faultsOf('\n\n')).toEqual(['the file has no row of headings']);
    expect(faultsOf(`${HEADINGS}\n`)).toEqual(['there is no sighting below the headings']);
    expect(faultsOf(Uint8Array.of(0x7f, 0x45, 0x4c, 0x46, 0, 1, 2))[0]).toContain('is not text');
    expect(faultsOf(HEADINGS.replaceAll(',', ';'))).toEqual(['the cells are separated by semicolons; expected commas']);
    expect(faultsOf(Uint8Array.of(0xff, 0xfe, 0x61, 0))[0]).toContain('UTF-16');
  });

  it.each(['record_id', 'race', 'checkpoint', 'bib', 'observer', 'note', 'extra'])(
    'refuses broken UTF-8 in %s',
    (column) => {
      const names = [...HEADINGS.split(','), 'extra'];
      const cells = [...GOOD.split(','), ''];
      cells[names.indexOf(column)] = '\u0001';
      const bytes = new TextEncoder().encode(`${names.join(',')}\n${cells.join(',')}\n`);
      bytes[bytes.indexOf(1)] = 0xff;
      expect(faultsOf(bytes)).toEqual([`row 2, column ${column}: is not UTF-8`]);
    },
  );

  it('keeps twenty faults and counts the rest', () => {
    const rows = Array.from({ length: 500 }, (_, i) => GOOD.replace('a1', `a${i}`).replace('rearfoot', 'toe'));
    const outcome = read(`${HEADINGS}\n${rows.join('\n')}`);
    expect(outcome.ok ? null : [outcome.error.faults.length, outcome.error.faultCount]).toEqual([20, 500]);
  });

  it('reads a stream', async () => {
    const text = new TextEncoder().encode(`${HEADINGS}\n${GOOD}\n`);
    let bytes = 0;
    async function* chunks() {
      yield text.subarray(0, 100);
      yield text.subarray(100);
      await Promise.resolve();
    }
    const outcome = await readSightings(chunks(), (n) => (bytes += n));
    expect(outcome.ok && outcome.value.rows).toBe(1);
    expect(bytes).toBe(text.length);
  });
});
