import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catchOutput } from '../../../tests/helpers/catch-output.ts';
import { percent } from '../../lib/words/numbers.ts';
import { command } from './report.ts';

const REFERENCE = new URL('../../../tests/reference/', import.meta.url);
const file = (name: string) => new URL(name, REFERENCE).pathname;

let folder: string;
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'kerbside-report-'))));
afterAll(() => rmSync(folder, { recursive: true }));

async function run(...args: string[]) {
  const { said, io } = catchOutput();
  const code = await command.run(args, io);
  return { code, err: said.err };
}

async function report(...args: string[]): Promise<string> {
  const out = join(folder, 'report.html');
  expect(await run('--out', out, ...args)).toMatchObject({ code: 0 });
  const page = readFileSync(out, 'utf8');
  expect(page).not.toMatch(/undefined|NaN|\bnull\b|<script|https?:\/\//);
  return page;
}

interface Expected {
  corrected: {
    validation: {
      checkpoints: { live: number; validated: number; classes: Record<string, { share: number; observed: number }> }[];
      difference: { paired: number; validatedBoth: number };
    } | null;
    practice: { items: number; answers: number; checkpoints: { classes: { rearfoot: { share: number } } }[] } | null;
  };
}
// Figures of R: the expected files of the cases, made by the R script beside them.
const expected = (name: string) => JSON.parse(readFileSync(file(name), 'utf8')) as Expected;

describe('kerbside report with corrected figures', () => {
  it('states estimator, assumptions, every count and the four classes by validation', async () => {
    const page = await report('--sightings', file('cases-corrected/double/sightings.csv'));
    const { checkpoints, difference } = expected('cases-corrected/double/expected.json').corrected.validation!;
    for (const { live, validated, classes } of checkpoints) {
      expect(page).toContain(`${live} runners have a class by live sightings, and ${validated} of them by clip too`);
      for (const { share, observed } of Object.values(classes)) {
        expect(page).toContain(`<td>${percent(observed)}</td><td>${percent(share)}</td>`);
      }
    }
    expect(page).toContain(`The change is that of ${difference.paired} runners classed live at both`);
    expect(page).toContain(`and ${difference.validatedBoth} at both.`);
    expect(page).toContain('Tenenbein');
    expect(page.match(/the clip counts as the truth/g)).toHaveLength(1);
    expect(page).toContain('<h2>Live against clip</h2>');
    // The flow of the same runners is drawn, not told by its table alone.
    expect(page).toMatch(/<svg[^>]*aria-label="Flow from class/);
  });

  it('says how the reviewed were chosen, by the table of those drawn', async () => {
    const sightings = file('cases-corrected/double/sightings.csv');
    const [{ validated } = { validated: 0 }] = expected('cases-corrected/double/expected.json').corrected.validation!
      .checkpoints;
    const onClip = readFileSync(sightings, 'utf8')
      .split('\n')
      .map((line) => line.split(','))
      .filter((cells) => cells[2] === 'Lock Four' && cells[8] === 'clip');
    const bibs = [...new Set(onClip.map((cells) => cells[4]!))];
    const validation = (drawn: readonly string[], name = 'Lock Four') => {
      const path = join(folder, 'validation.csv');
      const rows = drawn.map((bib) => `${name},${bib},1,4711,2032-05-12T20:00:00Z,rearfoot,true`);
      writeFileSync(path, ['checkpoint,bib,draw,seed,drawn_at,live_class,reviewed', ...rows, ''].join('\n'));
      return ['--sightings', sightings, '--validation', path];
    };
    expect(await report(...validation(bibs))).toContain(
      `At Lock Four the ${validated} reviewed runners were drawn at random.`,
    );
    // The first one on clip has a live class as well.
    expect(await report(...validation(bibs.slice(1)))).toContain(
      `At Lock Four ${validated - 1} of ${validated} reviewed runners were drawn at random; the other was chosen by hand`,
    );
    const { code, err } = await run('--out', join(folder, 'no.html'), ...validation(bibs, 'Lock Nine'));
    expect([code, err]).toEqual([2, expect.stringContaining('there is no sighting at "Lock Nine"') as string]);
  });

  it('takes a practice set', async () => {
    const page = await report(
      ...['--sightings', file('cases-corrected/practice/sightings.csv')],
      ...['--practice', file('cases-corrected/practice/practice.csv')],
    );
    const { items, answers, checkpoints } = expected('cases-corrected/practice/expected.json').corrected.practice!;
    expect(page).toContain(`Practice: ${answers.toLocaleString('en-GB')} answers to ${items} items`);
    for (const { classes } of checkpoints) expect(page).toContain(percent(classes.rearfoot.share));
    expect(page).toContain('Lang');
  });

  it('puts the corrected share and the pooled answer on the club page', async () => {
    const races = ['alder-ten', 'birch-half'].flatMap((name) => ['--pool', file(`cases-pooled/few/${name}.json`)]);
    const page = await report('--sightings', file('cases-corrected/double/sightings.csv'), '--club', ...races);
    const [early] = expected('cases-corrected/double/expected.json').corrected.validation!.checkpoints;
    expect(page).toContain(percent(early!.classes['rearfoot']!.share));
    expect(page).toMatch(/Over <strong>2 races<\/strong>/);
  });

  it('takes marks: means, changes and denominators of gait', async () => {
    const page = await report(
      ...['--sightings', file('cases-gait/change/sightings.csv')],
      ...['--marks', file('cases-gait/change/marks.csv')],
    );
    expect(page).toContain('<h2>Gait on clips</h2>');
    expect(page).toMatch(/in the same runners, 95\u00a0% intervals, paired t-test/);
    expect(page).toContain('Bland');
  });
});

describe('kerbside report of several races', () => {
  it('is a report of its own: methods, forest plots, each race with its counts', async () => {
    const page = await report('--races', file('cases-pooled/season/list.csv'));
    const { races, runners } = JSON.parse(readFileSync(file('cases-pooled/season/expected.json'), 'utf8')) as {
      races: { race: string; classified: number; rearfoot: number; paired: number }[];
      runners: { coded: number; linked: number };
    };
    for (const { race, classified, rearfoot } of races) {
      expect(page).toContain(`<th scope="row">${race}</th><td>${classified}</td><td>${rearfoot}</td>`);
    }
    expect(page.match(/aria-label="Forest plot/g)).toHaveLength(4);
    expect(page).toContain(`${runners.coded} among the sighted, ${runners.linked} of them classified`);
    expect(page).toContain('restricted maximum likelihood');
  });

  it.each([
    [['--pool', 'a.json', '--races', 'b.csv'], 'not both'],
    [['--pool', 'a.json', '--results', 'b.csv'], 'nothing else of one race'],
    [['--pool', 'a.json', '--pool', 'x/a.json'], '"a" names two races'],
  ])('refuses %j', async (args, text) => {
    const { code, err } = await run('--out', join(folder, 'no.html'), ...args);
    expect([code, err]).toEqual([2, expect.stringContaining(text) as string]);
  });

  it('names a damaged file and writes nothing', async () => {
    const damaged = join(folder, 'damaged.json');
    writeFileSync(damaged, '{"shares": [{}]}');
    const { code, err } = await run('--out', join(folder, 'no.html'), '--pool', damaged);
    expect(code).toBe(2);
    expect(err).toContain(`${damaged}: shares[0]`);
    expect(() => readFileSync(join(folder, 'no.html'))).toThrow();
  });

  it('tells a runner what clips measured, with one caution, and only with the marks', async () => {
    // R's figures of the one runner who was filmed at Capstan: contact 0.2895835 s, cadence 177.78, shank 7.755°; SD by
    // frames 0.0012028 s.
    const path = 'cases-gait/degenerate/expected.json';
    const { gait } = JSON.parse(readFileSync(file(path), 'utf8')) as {
      gait: {
        groups: { all: Record<'contact' | 'cadence' | 'shankAngle', { n: number; mean: number; frameSd: number }> };
      }[];
    };
    const { contact, cadence, shankAngle } = gait.find(({ groups }) => groups.all.contact.n === 1)!.groups.all;
    const tables = ['--sightings', file('cases-gait/degenerate/sightings.csv'), '--runners', '7'];
    const page = await report(...tables, '--marks', file('cases-gait/degenerate/marks.csv'));
    expect(page).toContain(`on the ground for <strong>${contact.mean.toFixed(3)}`);
    expect(page).toContain(`± ${(2 * contact.frameSd).toFixed(3)} by the camera’s frames`);
    expect(page).toContain(`Cadence <strong>${cadence.mean.toFixed(1)}`);
    expect(page).toContain(`shank ${shankAngle.mean.toFixed(1)}°`);
    expect(page.match(/None of these numbers is an instruction/g)).toHaveLength(1);
    expect(await report(...tables, '--force')).not.toMatch(/Cadence|None of these numbers/);
  });
});
