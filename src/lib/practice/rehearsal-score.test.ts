import { describe, expect, it } from 'vitest';
import type { SamplingRule } from '../race/race.ts';
import { dueInRehearsal, everyKthInRehearsal } from './due-in-rehearsal.ts';
import { rehearsalScore, type RehearsedSighting } from './rehearsal-score.ts';
import { rehearsalScript, type Passing } from './rehearsal-script.ts';

const bibs = Array.from({ length: 600 }, (_, i) => String(i + 1));
const spec = { seed: 5, perMinute: 30, pack: 1.5, seconds: 180, bibs };
const script = rehearsalScript(spec);

const tallied = (passing: Passing, change: Partial<RehearsedSighting> = {}): RehearsedSighting => ({
  bib: passing.bib,
  gait: 'run',
  left: passing.left,
  right: passing.right,
  passed: false,
  atMs: passing.atMs + 1500,
  ...change,
});

describe('rehearsalScript', () => {
  it('lets as many pass as were asked for, in packs of that size', () => {
    const scripts = Array.from({ length: 200 }, (_, seed) => rehearsalScript({ ...spec, seed }));
    const runners = scripts.reduce((sum, one) => sum + one.length, 0) / scripts.length;
    const packs = scripts.flat().filter(({ place }) => place !== 'behind').length / scripts.length;
    // 30 a minute over 176 s, in packs of 1.5: means of a compound Poisson count, its standard errors 0.8 and 0.5.
    expect(Math.abs(runners - 88)).toBeLessThan(3);
    expect(Math.abs(packs - 58.7)).toBeLessThan(2);
  });

  it('is the same for a seed, gives each bib once, and knows no more runners than bibs', () => {
    expect(rehearsalScript(spec)).toEqual(script);
    expect(new Set(script.map(({ bib }) => bib)).size).toBe(script.length);
    expect(rehearsalScript({ ...spec, perMinute: 150, bibs: ['7', '8'] })).toHaveLength(2);
    expect(rehearsalScript({ ...spec, pack: 1 }).every(({ place }) => place === 'alone')).toBe(true);
  });
});

describe('rehearsalScore', () => {
  it('finds nothing wrong where all was tallied as it passed', () => {
    const score = rehearsalScore(
      script,
      script.map((passing) => tallied(passing)),
      'right',
    );
    expect(score).toMatchObject({
      passed: script.length,
      classed: script.length,
      missed: 0,
      strangers: 0,
      bibs: { right: script.length, wrong: 0, none: 0 },
      feet: { right: 2 * script.length, wrong: 0, unseen: 0 },
      lagMs: 1500,
    });
    expect(score.minutes.reduce((sum, { passed }) => sum + passed, 0)).toBe(script.length);
  });

  it('counts what was planted: a wrong bib, no bib, wrong and unseen feet, nobody, a runner missed', () => {
    const few = script.slice(0, 6).map((passing, i) => ({ ...passing, atMs: 5000 + 10_000 * i }));
    const [a, b, c, d, e, missed] = few as [Passing, Passing, Passing, Passing, Passing, Passing];
    const wrongFoot = d.left === 'rearfoot' ? 'forefoot' : 'rearfoot';
    const sightings = [
      tallied(a),
      tallied(b, { bib: '9999' }),
      tallied(c, { bib: null }),
      tallied(d, { left: wrongFoot }),
      tallied(e, { right: 'unseen' }),
      tallied(a, { bib: '8888', atMs: a.atMs + 3000 }),
      tallied(missed, { passed: true, left: 'unseen', right: 'unseen' }),
    ];
    const score = rehearsalScore(few, sightings, 'right');
    expect(score).toMatchObject({
      passed: 6,
      classed: 4,
      partly: 1,
      missed: 1,
      letPass: 1,
      bibs: { right: 3, wrong: 1, none: 1 },
      feet: { right: 8, wrong: 1, unseen: 1 },
      strangers: 1,
      wrongBibs: [{ tallied: '9999', was: b.bib }],
      sides: { near: { right: 4, of: 4 }, far: { right: 4, of: 5 } },
    });
  });

  it('takes the bib of a runner who has not come yet for a misreading', () => {
    const [a, b] = script.slice(0, 2).map((passing, i) => ({ ...passing, atMs: 5000 + 60_000 * i }));
    const score = rehearsalScore([a!, b!], [tallied(a!, { bib: b!.bib })], 'left');
    expect(score.wrongBibs).toEqual([{ tallied: b!.bib, was: a!.bib }]);
  });

  it('gives a sighting without a bib to who has passed, not to who is about to', () => {
    const [a, b, c] = script.slice(0, 3).map((passing, i) => ({ ...passing, atMs: 5000 + 1500 * i }));
    // 1.2 s after the first has passed, 0.3 s before the second does.
    const score = rehearsalScore([a!, b!, c!], [tallied(a!, { bib: '9999', atMs: 6200 })], 'left');
    expect(score.wrongBibs).toEqual([{ tallied: '9999', was: a!.bib }]);
    // Nobody has passed yet: the first is about to.
    const early = rehearsalScore([a!, b!, c!], [tallied(a!, { bib: '9999', atMs: 4000 })], 'left');
    expect(early.wrongBibs).toEqual([{ tallied: '9999', was: a!.bib }]);
  });

  it('misses nobody whom the rule lets pass, whether the observer tapped that or not', () => {
    const rule: SamplingRule = { kind: 'endings', endings: ['1', '6'] };
    const isDue = dueInRehearsal(rule, 0, 'UTC');
    const asked = script.filter(({ bib }) => bib.endsWith('1') || bib.endsWith('6'));
    const score = rehearsalScore(
      script,
      asked.slice(1).map((passing) => tallied(passing)),
      'right',
      isDue,
    );
    expect(score.due).toEqual({ passed: asked.length, classed: asked.length - 1 });
    expect(score.dueMissed).toBe(1);
    const all = [...Object.values(score.places), score.due!];
    expect(all.slice(0, 3).reduce((sum, { passed }) => sum + passed, 0)).toBe(asked.length);
  });

  it('asks by the wall clock with windows, and cannot tell with every third', () => {
    const half = dueInRehearsal({ kind: 'windows', onMinutes: 1, everyMinutes: 2 }, Date.UTC(2031, 4, 3, 8), 'UTC')!;
    const score = rehearsalScore(script, [], 'right', half);
    expect(score.due!.passed).toBe(script.filter(({ atMs }) => Math.floor(atMs / 60_000) % 2 === 0).length);
    expect(dueInRehearsal({ kind: 'every', k: 3 }, 0, 'UTC')).toBeNull();
    expect(rehearsalScore(script, [], 'right', null)).toMatchObject({ due: null, dueMissed: null });
  });

  it('says with every third how many were due and how far the observer counted', () => {
    const few = script.slice(0, 10).map((passing, i) => ({ ...passing, atMs: 5000 + 10_000 * i }));
    const passed = (passing: Passing) => tallied(passing, { bib: null, passed: true, left: 'unseen', right: 'unseen' });
    // Ten pass, three rounds of three are whole. The observer lets five pass, classes two and sees one foot of a third.
    const sightings = [
      ...[0, 1, 3, 4, 6].map((i) => passed(few[i]!)),
      ...[2, 5].map((i) => tallied(few[i]!)),
      tallied(few[8]!, { left: 'unseen' }),
    ];
    const score = rehearsalScore(few, sightings, 'right', null);
    expect(everyKthInRehearsal({ kind: 'every', k: 3 }, score)).toEqual({ k: 3, due: 3, counted: 8 });
    expect(everyKthInRehearsal({ kind: 'everyone' }, score)).toBeNull();
    expect(everyKthInRehearsal(undefined, score)).toBeNull();
  });

  it('says nothing of nobody', () => {
    expect(rehearsalScore([], [], 'left')).toMatchObject({ passed: 0, classed: 0, lagMs: null, minutes: [] });
  });
});
