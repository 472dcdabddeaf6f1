import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demoRace } from '../demo/demo-race.ts';
import { newId } from '../records/new-id.ts';
import { utcInstant } from '../records/instant.ts';
import { viewOfRace } from '../sightings/race-view.ts';
import { recordSchema, type TallyRecord } from '../records/record.ts';
import * as v from 'valibot';
import { checkRace } from './check-race.ts';
import { correctBib, decisionsInForce, leaveAsIs, rule, takeBack, withdraw, type Decision } from './decisions.ts';
import type { DecisionDraft, Doubt } from './doubt.ts';
import { inputOfRecords } from './input/input-of-records.ts';

const demo = demoRace();
const MADE = Date.parse('2026-10-04T18:00:00.000Z');

/** A device that writes decisions as the store does. */
class Desk {
  records: readonly TallyRecord[];
  #seq = 0;
  constructor(records: readonly TallyRecord[]) {
    this.records = records;
  }
  write(drafts: readonly DecisionDraft[]): void {
    for (const draft of drafts) {
      this.#seq += 1;
      const at = MADE + this.#seq * 1000;
      const id = newId(at, (bytes) => bytes.fill(this.#seq & 0xff));
      this.records = [
        ...this.records,
        { ...draft, id, race: demo.race.id, observer: 'Lead', device: 'desk', seq: this.#seq, madeAt: utcInstant(at) },
      ];
    }
  }
}

function look(records: readonly TallyRecord[]) {
  const view = viewOfRace(demo.race, records);
  const { projection } = view;
  const input = inputOfRecords(view, { startList: demo.startList, results: demo.results });
  return { projection, input, doubts: checkRace(input), decisions: decisionsInForce(records, projection) };
}

const WAYS = ['accept', 'correct', 'unreadable', 'withdraw', 'rule', 'leave'] as const;
type Way = (typeof WAYS)[number];

function draftsOf(doubt: Doubt, way: Way, input: ReturnType<typeof look>['input']): readonly DecisionDraft[] {
  const records = doubt.records.slice(0, 1);
  if (way === 'accept' && doubt.proposal) return doubt.proposal;
  if (way === 'correct' && doubt.bib !== null) return correctBib(doubt, records, doubt.candidates[0]?.bib ?? '4242');
  if (way === 'unreadable' && doubt.bib !== null) return correctBib(doubt, records, null);
  if (way === 'withdraw' && doubt.bib !== null) return withdraw(doubt, records);
  if (way === 'rule' && doubt.bib !== null) {
    return rule(doubt, input, { gait: 'run', left: 'midfoot', right: 'midfoot' });
  }
  return leaveAsIs(doubt);
}

const choices = fc.array(fc.tuple(fc.nat(99), fc.constantFrom(...WAYS)), { minLength: 1, maxLength: 5 });
const outcome = ({ projection, doubts }: ReturnType<typeof look>) => ({
  sightings: projection.sightings.map(({ record: _, corrections: __, withdrawals: ___, ...state }) => state),
  rulings: projection.rulings.flatMap((r) => (r.stands ? [r.record.bib] : [])).sort(),
  doubts: doubts.map((d) => d.key),
});

describe('deciding', () => {
  const before = look(demo.records);

  it('writes records that the hub would take, in the lead’s name', () => {
    const desk = new Desk([]);
    for (const doubt of before.doubts) for (const way of WAYS) desk.write(draftsOf(doubt, way, before.input));
    expect(desk.records.length).toBeGreaterThan(20);
    for (const record of desk.records) expect(v.is(recordSchema, record)).toBe(true);
  });

  it('settles what it decides', () => {
    for (const doubt of before.doubts) {
      const desk = new Desk(demo.records);
      desk.write(draftsOf(doubt, doubt.kind === 'disputed' ? 'rule' : 'accept', before.input));
      const after = look(desk.records);
      expect(after.doubts.map((d) => d.key)).not.toContain(doubt.key);
      expect(after.doubts).toHaveLength(before.doubts.length - 1);
      expect(after.decisions.map((d) => [d.kind, d.key])).toEqual([[doubt.kind, doubt.key]]);
    }
  });

  it('leaves no doubt when all are settled, and changes no sighting by leaving things as they are', () => {
    const desk = new Desk(demo.records);
    for (const doubt of before.doubts) desk.write(draftsOf(doubt, 'leave', before.input));
    const after = look(desk.records);
    expect(after.doubts).toEqual([]);
    expect(outcome(after).sightings).toEqual(outcome(before).sightings);
  });

  it('reads what earlier versions stored for a doubt that was left: a correction that changes nothing', () => {
    const [doubt] = before.doubts;
    const target = demo.records.find((record) => record.kind === 'sighting')!.id;
    const note = `Looked at and left as it is [${doubt!.kind} ${doubt!.key}]`;
    const desk = new Desk(demo.records);
    desk.write([{ kind: 'correction', target, note }]);
    const after = look(desk.records);
    expect(after.doubts.map((d) => d.key)).toEqual(before.doubts.slice(1).map((d) => d.key));
    expect(after.decisions).toMatchObject([
      { key: doubt!.key, kind: doubt!.kind, words: 'Looked at and left as it is' },
    ]);
    desk.write(takeBack(after.decisions[0]!));
    expect(look(desk.records).doubts).toHaveLength(before.doubts.length);
  });

  it('and taking back restores the state', () => {
    fc.assert(
      fc.property(choices, (taken) => {
        const desk = new Desk(demo.records);
        for (const [n, way] of taken) {
          const now = look(desk.records);
          const doubt = now.doubts[n % Math.max(1, now.doubts.length)];
          if (doubt) desk.write(draftsOf(doubt, way, now.input));
        }
        for (const decision of look(desk.records).decisions) desk.write(takeBack(decision));
        const after = look(desk.records);
        expect(outcome(after)).toEqual(outcome(before));
        expect(after.decisions).toEqual([]);
      }),
      { numRuns: 12 },
    );
  });

  it('gives the same state in any order of decisions and of arrival', () => {
    const orders = fc.shuffledSubarray([...before.doubts.keys()], { minLength: before.doubts.length });
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...WAYS), { minLength: 5, maxLength: 5 }),
        orders,
        fc.nat(),
        (ways, order, cut) => {
          const one = new Desk(demo.records);
          before.doubts.forEach((doubt, i) => one.write(draftsOf(doubt, ways[i % 5]!, before.input)));
          const two = new Desk(demo.records);
          for (const i of order) two.write(draftsOf(before.doubts[i]!, ways[i % 5]!, before.input));
          const at = cut % two.records.length;
          const arrived = [...two.records.slice(at), ...two.records.slice(0, at)];
          expect(outcome(look(arrived))).toEqual(outcome(look(one.records)));
        },
      ),
      { numRuns: 12 },
    );
  });

  it('never changes what an observer wrote', () => {
    const desk = new Desk(demo.records);
    const text = JSON.stringify(demo.records);
    const all: Decision[] = [];
    for (const doubt of before.doubts) desk.write(draftsOf(doubt, 'accept', before.input));
    all.push(...look(desk.records).decisions);
    for (const decision of all) desk.write(takeBack(decision));
    expect(JSON.stringify(desk.records.slice(0, demo.records.length))).toBe(text);
    expect(desk.records.slice(demo.records.length).some((record) => record.kind === 'sighting')).toBe(false);
  });
});
