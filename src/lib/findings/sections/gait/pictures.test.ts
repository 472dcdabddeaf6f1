import { describe, expect, it } from 'vitest';
import { CLIP_RACE, clipKey, recordsOfKey } from '../../../../../tests/helpers/clips/clip-records.ts';
import { passagesOfRace } from '../../../clips/passages-of-race.ts';
import { viewOfRace } from '../../../sightings/race-view.ts';
import { tableOfRecords } from '../../../sightings/table-of-records.ts';
import { everyPicture, findingsPictures } from '../../findings-pictures.ts';
import { analyse } from '../../analyse.ts';
import { resolveRace } from '../../resolved-race.ts';
import { plain } from '../../sentences/sentences-parts.ts';
import { supplementOf } from '../../supplement.ts';
import { gaitPictures } from './pictures.ts';
import { runnerFigures } from './runner-figures.ts';
import { runnerFiguresWords } from './sheet-words.ts';

// Contact times and cadences are those with which the reference clips were drawn: the keys beside them tell.
const key = clipKey('single');
const view = viewOfRace(CLIP_RACE, recordsOfKey(key));
const { table: marks } = passagesOfRace(view);
const frame = 1 / key.recordedFps;
const runner = (bib: string) => key.runners.find((one) => one.bib === bib)! as unknown as Record<string, number>;

describe('pictures of gait', () => {
  const findings = analyse(tableOfRecords(view), null, { marks });
  const { gait, gaitChange } = findings;
  const pictures = gaitPictures(gait, gaitChange, 0.95);

  it('show contact time and cadence of each class as the clip was drawn', () => {
    expect(pictures.map(({ id }) => id)).toEqual(['gait-contact', 'gait-cadence']);
    const forefoot = pictures.map(({ groups }) => groups.find(({ name }) => name === 'forefoot')!.marks[0]!);
    // One runner lands on the forefoot: a point without an interval.
    expect(Math.abs(forefoot[0]!.value / 1000 - runner('2204')['contactSeconds']!)).toBeLessThan(frame);
    expect(Math.abs(forefoot[1]!.value / runner('2204')['cadence']! - 1)).toBeLessThan(0.01);
    expect(forefoot.map(({ low }) => low)).toEqual([null, null]);
    expect(pictures[0]!.table.rows).toHaveLength(pictures[0]!.groups.length);
  });

  it('are saved with all the others', () => {
    const race = resolveRace(tableOfRecords(view), 'exclude');
    const supplement = supplementOf({ race, field: null, early: 0, late: 0, level: 0.95 }, () => undefined);
    const all = everyPicture(findingsPictures(findings, supplement, ['Ford'], 0.95));
    expect(all.map(({ id }) => id)).toEqual(expect.arrayContaining(['gait-contact', 'gait-cadence']));
  });

  it('are none without marks', () => {
    expect(gaitPictures(null, null, 0.95)).toEqual([]);
  });
});

describe('the figures on a runner’s sheet', () => {
  it('are those of the drawn runner, with what 5 and 10 % more would be', () => {
    const [own] = runnerFigures(marks, ['107', '9'], () => true)['107']!;
    const { contact, cadence, shankAngle } = own!.figures;
    expect(Math.abs(contact!.value - runner('107')['contactSeconds']!)).toBeLessThan(frame);
    expect(Math.abs(cadence!.value / runner('107')['cadence']! - 1)).toBeLessThan(0.01);
    expect(contact!.sd).toBeLessThan(frame);
    const words = runnerFiguresWords(own!).map(plain).join(' ');
    expect(words).toContain(`5 % more would be ${Math.round(cadence!.value * 1.05)}`);
    expect(words).toContain('whom a professional advised so');
    expect(words).toContain(shankAngle!.value > 2 ? 'ahead of the knee' : 'knee');
    expect(runnerFigures(marks, ['9'], () => true)).toEqual({ 9: [] });
  });
});
