import { describe, expect, it } from 'vitest';
import type { Foot } from '../records/foot.ts';
import { FOOT_OUTCOMES, OUTCOMES, runnerClasses, type SingleFootRule } from './runner-classes.ts';
import { SightingTableBuilder, type SightingEntry } from './sighting-table.ts';
import { usedSightings } from './used-sightings.ts';

type Seen = [left: Foot | 'walk', right?: Foot, change?: Partial<SightingEntry>];

/** The outcome of one runner from what observers A, B, C … said, one entry each. */
function resolve(sightings: Seen[], singleFoot?: SingleFootRule) {
  const builder = new SightingTableBuilder();
  sightings.forEach(([left, right, change], i) => {
    builder.add({
      recordId: `r${i}`,
      checkpoint: 'Mill',
      km: 5,
      bib: '7',
      gait: left === 'walk' ? 'walk' : 'run',
      left: left === 'walk' ? 'unseen' : left,
      right: right ?? (left === 'walk' ? 'unseen' : left),
      observer: String.fromCharCode(65 + i),
      method: 'live',
      observedAtMs: i,
      ...change,
    });
  });
  const table = builder.build();
  const used = usedSightings(table);
  const classes = runnerClasses(table, used, singleFoot);
  return {
    outcome: OUTCOMES[classes.outcome[0]!],
    left: FOOT_OUTCOMES[classes.left[0]!],
    right: FOOT_OUTCOMES[classes.right[0]!],
    used,
    classes,
  };
}
const clip = { method: 'clip' } as const;
const ruling = { method: 'ruling' } as const;

describe('from sightings to a runner class', () => {
  it.each<[string, Seen[], string]>([
    ['one observer', [['rearfoot']], 'rearfoot'],
    ['two classes', [['rearfoot', 'forefoot']], 'asymmetric'],
    ['one foot seen', [['rearfoot', 'unseen']], 'unclassified'],
    ['no foot seen', [['unseen']], 'unclassified'],
    ['a majority for each foot', [['rearfoot'], ['rearfoot', 'midfoot'], ['midfoot']], 'asymmetric'],
    ['two of three', [['rearfoot'], ['rearfoot'], ['midfoot']], 'rearfoot'],
    ['a tie on one foot', [['rearfoot'], ['midfoot', 'rearfoot']], 'disputed'],
    ['as many unseen as seen is no tie', [['rearfoot'], ['unseen']], 'rearfoot'],
    [
      'each observer one foot',
      [
        ['rearfoot', 'unseen'],
        ['unseen', 'rearfoot'],
      ],
      'rearfoot',
    ],
    ['a walker', [['walk']], 'walking'],
    ['more walk than run', [['walk'], ['walk'], ['rearfoot']], 'walking'],
    ['as many walk as run', [['walk'], ['rearfoot']], 'disputed'],
    ['fewer walk than run', [['walk'], ['rearfoot'], ['rearfoot']], 'rearfoot'],
    ['a clip before live', [['rearfoot'], ['rearfoot'], ['midfoot', 'midfoot', clip]], 'midfoot'],
    ['a clip that saw nothing', [['rearfoot'], ['unseen', 'unseen', clip]], 'rearfoot'],
    ['a clip that saw a walker', [['rearfoot'], ['walk', 'unseen', clip]], 'walking'],
    ['clips only, nothing seen', [['unseen', 'unseen', clip]], 'unclassified'],
    ['a ruling before all', [['rearfoot'], ['midfoot', 'midfoot', clip], ['forefoot', 'forefoot', ruling]], 'forefoot'],
    ['a ruling that saw nothing', [['rearfoot'], ['unseen', 'unseen', ruling]], 'unclassified'],
    [
      'the later of two rulings of two leads',
      [
        ['rearfoot', 'rearfoot', { ...ruling, observedAtMs: 9 }],
        ['midfoot', 'midfoot', ruling],
      ],
      'rearfoot',
    ],
  ])('%s', (_, sightings, outcome) => {
    expect(resolve(sightings).outcome).toBe(outcome);
  });

  it('uses a single foot when asked to, but not against a dispute', () => {
    expect(resolve([['rearfoot', 'unseen']], 'use').outcome).toBe('rearfoot');
    expect(resolve([['unseen', 'midfoot']], 'use').outcome).toBe('midfoot');
    expect(resolve([['unseen']], 'use').outcome).toBe('unclassified');
    expect(
      resolve(
        [
          ['rearfoot', 'unseen'],
          ['midfoot', 'unseen'],
        ],
        'use',
      ).outcome,
    ).toBe('disputed');
  });

  it('tells the outcome of each foot', () => {
    const { left, right } = resolve([['rearfoot', 'unseen'], ['midfoot', 'unseen'], ['walk']]);
    expect([left, right]).toEqual(['disputed', 'unseen']);
  });
});

describe('usedSightings', () => {
  const A = (at: number, id: string, left: Foot): Seen => [
    left,
    left,
    { observer: 'A', observedAtMs: at, recordId: id },
  ];

  it('keeps the latest entry of an observer, of equal instants the greater record id', () => {
    const { outcome, used } = resolve([A(5, 'z', 'midfoot'), A(6, 'a', 'rearfoot'), A(6, 'B', 'forefoot')]);
    expect(outcome).toBe('rearfoot');
    expect(used.repeats).toBe(2);
    expect(resolve([A(6, '\u{1f3c3}', 'midfoot'), A(6, '\uffee', 'rearfoot')]).outcome).toBe('midfoot');
  });

  it('counts live and clip of one observer apart', () => {
    const { used } = resolve([A(5, 'a', 'midfoot'), ['rearfoot', 'rearfoot', { observer: 'A', ...clip }]]);
    expect(used.repeats).toBe(0);
    expect(used.rows).toHaveLength(2);
  });

  it('leaves out and counts sightings without a bib', () => {
    const { used, classes } = resolve([
      ['rearfoot', 'rearfoot', { bib: null }],
      ['rearfoot', 'rearfoot', { bib: '8' }],
      ['midfoot', 'midfoot', { bib: '8', checkpoint: 'Weir', km: 9 }],
      ['midfoot', 'midfoot', { bib: '9', checkpoint: 'Weir', km: 9 }],
    ]);
    expect(used.noBib).toBe(1);
    expect([...classes.first]).toEqual([0, 2, 3]);
    expect([...classes.checkpoint]).toEqual([0, 1, 1]);
  });
});
