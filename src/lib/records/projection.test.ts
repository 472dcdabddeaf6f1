import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { RACE_ID, rearranged, recordId, recordSet } from '../../../tests/helpers/records/record-arbitraries.ts';
import { projectRecords } from './projection.ts';
import {
  recordSchema,
  type Correction,
  type Ruling,
  type Sighting,
  type TallyRecord,
  type Withdrawal,
} from './record.ts';

const at = (second: number) => `2026-10-04T07:30:0${second}.000Z`;
const base = (n: number, madeAt = at(0)) => ({
  id: recordId(n),
  race: RACE_ID,
  observer: 'A',
  device: 'tablet-1',
  seq: n,
  madeAt,
});
const sighting = (n: number, fields: Partial<Sighting> = {}): Sighting => ({
  ...base(n),
  kind: 'sighting',
  checkpoint: 'k5',
  bib: '7',
  left: 'rearfoot',
  right: 'rearfoot',
  method: 'live',
  observedAt: at(0),
  ...fields,
});
const correction = (n: number, target: number, madeAt: string, fields: Partial<Correction>): Correction => ({
  ...base(n, madeAt),
  kind: 'correction',
  target: recordId(target),
  ...fields,
});
const withdrawal = (n: number, target: number): Withdrawal => ({
  ...base(n, at(9)),
  kind: 'withdrawal',
  target: recordId(target),
});
const ruling = (n: number, madeAt: string, fields: Partial<Ruling> = {}): Ruling => ({
  ...base(n, madeAt),
  kind: 'ruling',
  checkpoint: 'k5',
  bib: '7',
  left: 'midfoot',
  right: 'midfoot',
  ...fields,
});
const only = (records: TallyRecord[]) => {
  const [first, ...rest] = projectRecords(records).sightings;
  expect(rest).toEqual([]);
  return first!;
};

describe('projectRecords', () => {
  it('shows a sighting as it was written when nothing else says otherwise', () => {
    const record = sighting(1, { bib: null });
    expect(only([record])).toEqual({
      record,
      checkpoint: 'k5',
      bib: null,
      gait: 'run',
      left: 'rearfoot',
      right: 'rearfoot',
      passed: false,
      withdrawn: false,
      corrections: [],
      withdrawals: [],
    });
  });

  it('counts a runner who was let pass as such until somebody gives feet', () => {
    const passed = sighting(1, { bib: '7', left: 'unseen', right: 'unseen', passed: true });
    expect(v.is(recordSchema, passed)).toBe(true);
    expect(only([passed]).passed).toBe(true);
    expect(only([passed, correction(2, 1, at(5), { bib: '8' })])).toMatchObject({ bib: '8', passed: true });
    const looked = correction(2, 1, at(5), { left: 'unseen', right: 'unseen' });
    expect(only([passed, looked])).toMatchObject({ left: 'unseen', passed: false });
    expect(only([passed, looked, withdrawal(3, 2)]).passed).toBe(true);
    for (const wrong of [{ left: 'midfoot' }, { right: 'rearfoot' }, { gait: 'walk' }, { passed: 'yes' }]) {
      expect(v.is(recordSchema, { ...passed, ...wrong }), JSON.stringify(wrong)).toBe(false);
    }
  });

  it('lets the latest correction of each field stand, each field by itself', () => {
    const seen = only([
      sighting(1),
      correction(2, 1, at(5), { bib: '8' }),
      correction(3, 1, at(4), { bib: '9', checkpoint: 'k15' }),
      correction(4, 1, at(3), { left: 'forefoot', right: 'unseen' }),
    ]);
    expect(seen).toMatchObject({ bib: '8', checkpoint: 'k15', gait: 'run', left: 'forefoot', right: 'unseen' });
    expect(seen.corrections).toEqual([recordId(2), recordId(3), recordId(4)]);
  });

  it('breaks ties by the greater id and lets a bib be taken away', () => {
    expect(
      only([sighting(1), correction(3, 1, at(5), { bib: null }), correction(2, 1, at(5), { bib: '9' })]),
    ).toMatchObject({ bib: null, corrections: [recordId(3)] });
  });

  it('takes gait, left and right together', () => {
    const walker = correction(2, 1, at(1), { gait: 'walk', left: 'unseen', right: 'unseen' });
    expect(only([sighting(1), walker])).toMatchObject({ gait: 'walk', left: 'unseen' });
    const ran = correction(3, 1, at(2), { left: 'midfoot', right: 'midfoot' });
    expect(only([sighting(1), walker, ran])).toMatchObject({ gait: 'run', left: 'midfoot', right: 'midfoot' });
  });

  it('lets a withdrawal beat a later correction', () => {
    expect(
      only([sighting(1), withdrawal(2, 1), correction(3, 1, '2026-10-04T09:00:00.000Z', { bib: '8' })]),
    ).toMatchObject({ withdrawn: true, bib: '8', withdrawals: [recordId(2)] });
  });

  it('brings a record back when its withdrawal is withdrawn, and takes it away again', () => {
    const records = [sighting(1), withdrawal(2, 1), withdrawal(3, 2)];
    expect(only(records).withdrawn).toBe(false);
    expect(only([...records, withdrawal(4, 3)]).withdrawn).toBe(true);
    expect(only([...records, withdrawal(4, 3), withdrawal(5, 2)]).withdrawn).toBe(false);
  });

  it('forgets a withdrawn correction', () => {
    expect(only([sighting(1), correction(2, 1, at(5), { bib: '8' }), withdrawal(3, 2)])).toMatchObject({
      bib: '7',
      corrections: [],
    });
  });

  it('voids rings of withdrawals and says which they are', () => {
    const state = projectRecords([sighting(1), withdrawal(2, 3), withdrawal(3, 2), withdrawal(4, 4), withdrawal(5, 2)]);
    expect(state.rings).toEqual([recordId(2), recordId(3), recordId(4)]);
    expect(state.sightings[0]?.withdrawn).toBe(false);
    // The withdrawal outside the ring is in force all the same.
    expect([...state.withdrawn]).toEqual([recordId(2)]);
  });

  it('lets the latest ruling stand for each bib at each checkpoint, unless it is withdrawn', () => {
    const rulings = [ruling(1, at(3)), ruling(2, at(5)), ruling(3, at(4)), ruling(4, at(1), { checkpoint: 'k15' })];
    const stands = (records: TallyRecord[]) =>
      projectRecords(records)
        .rulings.filter((r) => r.stands)
        .map((r) => r.record.id);
    expect(stands(rulings)).toEqual([recordId(2), recordId(4)]);
    expect(stands([...rulings, withdrawal(5, 2)])).toEqual([recordId(3), recordId(4)]);
  });

  it('names corrections and withdrawals whose target has not arrived', () => {
    const state = projectRecords([withdrawal(2, 1), correction(3, 9, at(1), { bib: '8' })]);
    expect(state.targetMissing).toEqual([recordId(2), recordId(3)]);
    expect([...state.withdrawn]).toEqual([]);
  });
});

/** The rules once more, written as they are said, slow and recursive: an oracle that shares no code with the projection. */
function slowly(records: readonly TallyRecord[]) {
  const byId = new Map(records.map((r) => [r.id, r]));
  const onRing = (start: TallyRecord): boolean => {
    let current: TallyRecord | undefined = start;
    for (let step = 0; step <= records.length; step += 1) {
      if (current?.kind !== 'withdrawal') return false;
      current = byId.get(current.target);
      if (current?.id === start.id) return true;
    }
    return false;
  };
  const withdrawn = (id: string): boolean =>
    records.some((r) => r.kind === 'withdrawal' && r.target === id && !onRing(r) && !withdrawn(r.id));
  const latest = <R extends TallyRecord>(candidates: R[]): R | undefined =>
    [...candidates].sort((a, b) => (a.madeAt + a.id < b.madeAt + b.id ? 1 : -1))[0];
  const sightings = records
    .filter((r) => r.kind === 'sighting')
    .sort((a, b) => (a.id < b.id ? -1 : 1))
    .map((record) => {
      const live = records.filter((r) => r.kind === 'correction' && r.target === record.id && !withdrawn(r.id));
      const by = (field: keyof Correction) =>
        latest(live.filter((r): r is Correction => r.kind === 'correction' && r[field] !== undefined));
      const seen = by('left') ?? record;
      const bib = by('bib');
      return {
        id: record.id,
        checkpoint: by('checkpoint')?.checkpoint ?? record.checkpoint,
        bib: bib ? bib.bib : record.bib,
        gait: seen.gait ?? 'run',
        left: seen.left,
        right: seen.right,
        withdrawn: withdrawn(record.id),
      };
    });
  const rulings = records.filter((r) => r.kind === 'ruling');
  const standing = rulings
    .filter((r) => !withdrawn(r.id))
    .filter(
      (r) => latest(rulings.filter((o) => o.bib === r.bib && o.checkpoint === r.checkpoint && !withdrawn(o.id))) === r,
    )
    .map((r) => r.id)
    .sort();
  return { sightings, standing };
}

describe('projectRecords on any set of records', () => {
  it('is fed valid records by the generator', () => {
    fc.assert(fc.property(recordSet, (records) => records.every((r) => v.is(recordSchema, r))));
  });

  it('agrees with the rules written out slowly', () => {
    fc.assert(
      fc.property(recordSet, (records) => {
        const state = projectRecords(records);
        const said = {
          sightings: state.sightings.map(({ record, checkpoint, bib, gait, left, right, withdrawn }) => ({
            id: record.id,
            checkpoint,
            bib,
            gait,
            left,
            right,
            withdrawn,
          })),
          standing: state.rulings.filter((r) => r.stands).map((r) => r.record.id),
        };
        expect(said).toEqual(slowly(records));
      }),
      { numRuns: 1000 },
    );
  });

  it('gives the same state in any order and with any repetition', () => {
    fc.assert(
      fc.property(
        recordSet.chain((records) => fc.tuple(fc.constant(records), rearranged(records))),
        ([records, again]) => {
          expect(projectRecords(again)).toEqual(projectRecords(records));
        },
      ),
      { numRuns: 500 },
    );
  });

  it('gives the same state however the records are split over devices and brought together', () => {
    fc.assert(
      fc.property(
        recordSet.chain((records) =>
          fc.tuple(
            fc.constant(records),
            fc.array(fc.integer({ min: 1, max: 7 }), { minLength: records.length, maxLength: records.length }),
            fc.shuffledSubarray([1, 2, 4], { minLength: 3 }),
          ),
        ),
        // Each record is on the devices whose bits its number has: on at least one, perhaps on all three.
        ([records, places, order]) => {
          const devices = order.map((bit) => records.filter((_, i) => ((places[i] as number) & bit) !== 0));
          expect(projectRecords(devices.flat())).toEqual(projectRecords(records));
        },
      ),
      { numRuns: 500 },
    );
  });

  it('gives the same state in any order even where one id has two contents', () => {
    fc.assert(
      fc.property(
        fc.tuple(recordSet, recordSet).chain(([a, b]) => fc.tuple(fc.constant([...a, ...b]), rearranged([...a, ...b]))),
        ([records, again]) => {
          expect(projectRecords(again)).toEqual(projectRecords(records));
        },
      ),
      { numRuns: 500 },
    );
  });
});
