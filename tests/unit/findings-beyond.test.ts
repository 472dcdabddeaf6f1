import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SightingTableBuilder, type SightingEntry } from '../../src/lib/sightings/sighting-table.ts';
import { countedTable } from '../../src/lib/findings/sections/coverage/counted-table.ts';
import { coverageFlow } from '../../src/lib/findings/sections/coverage/coverage-flow.ts';
import { fieldOf } from '../../src/lib/findings/field.ts';
import type { Findings } from '../../src/lib/findings/findings.ts';
import { findingsPictures, everyPicture } from '../../src/lib/findings/findings-pictures.ts';
import { nearFarAgreement } from '../../src/lib/findings/sections/observers/near-far-agreement.ts';
import { raterTendencies } from '../../src/lib/findings/sections/observers/rater-tendency.ts';
import { resolveRace } from '../../src/lib/findings/resolved-race.ts';
import { plainLines } from '../../src/lib/findings/sentences/sentences-section.ts';
import { mayBeTheObservers } from '../../src/lib/findings/sections/shift/observers-doubt.ts';
import { squadWords } from '../../src/lib/findings/sections/squad/words.ts';
import { flowSteps } from '../../src/lib/findings/sections/coverage/flow-picture.ts';
import { legsOf, slowing } from '../../src/lib/findings/sections/squad/pictures.ts';
import { squadGroups } from '../../src/lib/findings/sections/squad/groups.ts';
import { groupsTable } from '../../src/lib/findings/sections/squad/groups-table.ts';
import { squadOf } from '../../src/lib/findings/sections/squad/figures.ts';
import { supplementOf } from '../../src/lib/findings/supplement.ts';
import { readOrganiserFile } from '../../src/lib/tables/organiser/organiser-file.ts';
import { referenceRuns, tableOfFile } from '../helpers/findings/reference-cases.ts';

// What the screen shows beyond the printed figures must agree with those that R computed (tests/reference).
const RUNS = referenceRuns().filter(({ name }) =>
  /^(two-points|four-points|walkers|tenmile|small)\/expected\.json$/.test(name),
);

describe.each(RUNS.map((run) => [run.name, run] as const))('beyond the figures of %s', (_, run) => {
  const expected = run.expected as Findings;
  const table = tableOfFile(readFileSync(run.sightings));
  const race = resolveRace(table, 'exclude');
  const read = run.results && readOrganiserFile(readFileSync(run.results), 'results');
  if (!read) throw new Error('the case has results');
  const field = fieldOf(read.rows, table.bibs);
  const last = table.checkpoints.length - 1;
  const inFocus = { race, field, early: 0, late: last, level: 0.95 };

  it('counts the flow as R counted classes, matches and pairs', () => {
    const flow = coverageFlow(race, field, 0, last);
    const early = expected.shares[0]!;
    expect(flow).toMatchObject({
      classified: early.classified,
      walking: early.walking,
      disputed: early.disputed,
      unclassified: early.unclassified,
      matched: expected.finish!.matched,
      both: expected.shift!.paired,
      passed: expected.coverage!.finishers + flow.withoutFinish!,
    });
    const steps = flowSteps(flow, 'elsewhere');
    steps.slice(1).forEach((step, i) => {
      const lost = step.lost.reduce((sum, one) => sum + one.count, 0);
      expect(step.kept + lost).toBe(steps[i]!.kept);
    });
  });

  it('says whom each figure counts as R counted them', () => {
    const { flows } = supplementOf(inFocus, () => undefined);
    const counted = countedTable(expected, flows);
    const cell = (name: string): string | undefined => counted.rows.find(([row]) => row!.startsWith(name))?.[1];
    const early = expected.shares[0]!;
    const asText = (n: number): string => n.toLocaleString('en-GB');
    expect(cell('Sighted')).toBe(asText(early.classified + early.walking + early.disputed + early.unclassified));
    expect(cell('Classified: shares')).toBe(asText(early.classified));
    expect(cell('Classified, with a finish')).toBe(asText(expected.finish!.matched));
    expect(cell('Classified at both: shift')).toBe(asText(expected.shift!.paired));
    if (early.walking > 0) expect(cell('left out: walking')).toBe(asText(early.walking));
  });

  it('gives a squad of everybody the shares and the shift of the field', () => {
    const squad = squadOf(inFocus, table.bibs);
    const [own, rest] = squad.shares;
    const { rearfoot } = expected.shares[0]!.classes;
    expect(own!.classified).toBe(expected.shares[0]!.classified);
    expect(own!.low).toBeCloseTo(rearfoot.low!, 12);
    expect(own!.high).toBeCloseTo(rearfoot.high!, 12);
    expect(rest!.classified).toBe(0);
    const { gained, lost, low, high } = expected.shift!.rearfoot;
    expect(squad.changes[0]).toMatchObject({ paired: expected.shift!.paired, gained, lost });
    expect(squad.changes[0]!.low).toBeCloseTo(low!, 12);
    expect(squad.changes[0]!.high).toBeCloseTo(high!, 12);
  });

  it('parts squad and rest without losing anybody, and ranks nobody', () => {
    const some = table.bibs.filter((__, i) => i % 3 === 0);
    const squad = squadOf(inFocus, [...some, 'no such bib']);
    expect(squad.runners.map((runner) => runner.bib)).toEqual(some);
    expect(squad.notSighted).toEqual(['no such bib']);
    expect(squad.shares[0]!.classified + squad.shares[1]!.classified).toBe(expected.shares[0]!.classified);
    expect(squad.changes[0]!.paired + squad.changes[1]!.paired).toBe(expected.shift!.paired);
    for (const line of plainLines(squadWords(squad, 0.95, mayBeTheObservers(expected.shift!)))) {
      expect(line).not.toMatch(/null|undefined|NaN/);
    }
  });

  it('parts the thirds of the field and the sexes so that together they are the finishers whom R counted', () => {
    const some = table.bibs.filter((__, i) => i % 2 === 0);
    const groups = squadGroups(inFocus, some);
    const { matched, groups: classes } = expected.finish!;
    const thirds = groups.filter(({ of }) => of.kind === 'third');
    // Fewer than ten on a side and a third is left out.
    expect([0, 1, 2, 3].slice(matched > 200 ? 3 : 0)).toContain(thirds.length);
    const sum = (of: (share: (typeof groups)[number]['shares'][number]) => number): number =>
      thirds.flatMap(({ shares }) => shares).reduce((total, share) => total + of(share), 0);
    if (thirds.length === 3) {
      expect(sum(({ classified }) => classified)).toBe(matched);
      expect(sum((share) => share.classes.rearfoot)).toBe(classes.rearfoot!.n);
      const sizes = thirds.map(({ shares }) => shares[0]!.classified + shares[1]!.classified);
      // Thirds of all finishers, of whom as good as all were classified or a like share of each.
      expect(Math.min(...sizes)).toBeGreaterThan(matched / 8);
    }
    for (const { shares, changes } of groups) {
      for (const { classified } of shares) expect(classified).toBeGreaterThanOrEqual(10);
      expect(changes).toHaveLength(2);
    }
    const shown = groupsTable(groups, 0.95);
    expect(JSON.stringify(shown)).not.toMatch(/undefined|NaN/);
    for (const row of shown?.rows ?? []) expect(row.length).toBe(shown!.columns.length);
  });

  it('draws every picture with a table and a label that read well', () => {
    const supplement = supplementOf(inFocus, () => 'left');
    const focus = [table.checkpoints[0]!.name, table.checkpoints[last]!.name];
    const pictures = everyPicture(findingsPictures({ ...expected, notes: [] }, supplement, focus, 0.95));
    expect(new Set(pictures.map((picture) => picture.id)).size).toBe(pictures.length);
    expect(pictures.length).toBeGreaterThan(5);
    for (const { label, table: beside } of pictures) {
      expect(`${label}${JSON.stringify(beside)}`).not.toMatch(/null|undefined|NaN|Infinity/);
      for (const row of beside.rows) expect(row.length).toBe(beside.columns.length);
    }
  });
});

describe('observers', () => {
  // Invented, to be counted by hand: A and B on the left edge, C on the right.
  const table = (() => {
    const builder = new SightingTableBuilder();
    const add = (bib: string, observer: string, left: SightingEntry['left'], right: SightingEntry['right']) =>
      builder.add({
        recordId: `${bib}${observer}`,
        ...{ checkpoint: 'Weir', km: 5, bib, gait: 'run', observer, method: 'live', left, right, observedAtMs: 0 },
      });
    add('1', 'A', 'rearfoot', 'rearfoot');
    add('1', 'B', 'rearfoot', 'midfoot');
    add('2', 'A', 'midfoot', 'midfoot');
    add('2', 'B', 'midfoot', 'unseen');
    add('2', 'C', 'midfoot', 'midfoot');
    return builder.build();
  })();
  const race = resolveRace(table, 'exclude');

  it('parts the near from the far foot by the side of the course', () => {
    const sides: Record<string, 'left' | 'right'> = { A: 'left', B: 'left', C: 'right' };
    const found = nearFarAgreement(race, (observer) => sides[observer], 0.95)!;
    // Near to A and B: left feet of 1 and 2, both alike. Far: right foot of 1, not alike. Mixed: A with C twice, B with C once.
    expect(found.map(({ where, units, agreement }) => [where, units, agreement])).toEqual([
      ['near', 2, 1],
      ['far', 1, 0],
      ['mixed', 3, 1],
    ]);
    expect(nearFarAgreement(race, () => undefined, 0.95)).toBeNull();
  });

  it('counts what each observer called', () => {
    expect(raterTendencies(race)).toEqual([
      { rater: 'A', checkpoint: 'Weir', feet: [2, 2, 0], unseen: 0 },
      { rater: 'B', checkpoint: 'Weir', feet: [1, 2, 0], unseen: 1 },
      { rater: 'C', checkpoint: 'Weir', feet: [0, 2, 0], unseen: 0 },
    ]);
  });
});

describe('paces of a squad', () => {
  it('reckons each leg and how much the last is slower than the first', () => {
    const startMs = Date.UTC(2026, 9, 4, 8);
    const squad = {
      ...{ runners: [], notSighted: [], shares: [], changes: [] },
      checkpoints: [
        { name: 'Weir', km: 10 },
        { name: 'Bridge', km: 20 },
      ],
    };
    const at = (seconds: number) => ({
      outcome: 'rearfoot' as const,
      left: 'rearfoot' as const,
      right: 'rearfoot' as const,
      atMs: startMs + seconds * 1000,
    });
    const runner = { bib: '7', sightings: [at(3000), at(6300)], finish: 7000 };
    const legs = legsOf(runner, squad, { startMs, courseKm: 22 }, null);
    // 3,000 s for 10 km, 3,300 s for 10 km, 700 s for 2 km.
    expect(legs.map((leg) => leg.secondsPerKm)).toEqual([300, 330, 350]);
    expect(slowing(legs)).toBeCloseTo(1 / 6, 12);
    // An own start a minute after the gun, and no sighting at the bridge.
    const late = legsOf(
      { ...runner, sightings: [at(3060), null] },
      squad,
      { startMs, courseKm: null },
      startMs + 60_000,
    );
    expect(late.map((leg) => leg.secondsPerKm)).toEqual([300, null]);
    expect(slowing(late)).toBeNull();
  });
});
