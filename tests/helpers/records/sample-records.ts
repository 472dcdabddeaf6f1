import type { RecordKind } from '../../../src/lib/records/kinds.ts';
import type { RecordOf, TallyRecord } from '../../../src/lib/records/record.ts';

/** What a sample is to say beside its kind's own fields. */
export interface SampleNeeds {
  readonly id: string;
  readonly race: string;
  readonly device: string;
  readonly seq: number;
  readonly checkpoint: string;
  /** The id of a sighting. */
  readonly sighting: string;
}

type Own<Kind extends RecordKind> = Omit<RecordOf<Kind>, 'id' | 'race' | 'device' | 'seq' | 'observer' | 'madeAt'>;

/** A sound record of each kind: a kind without one does not compile. */
const SAMPLES: { [Kind in RecordKind]: (needs: SampleNeeds) => Own<Kind> } = {
  sighting: ({ checkpoint }) => ({
    ...{ kind: 'sighting', checkpoint, bib: '7', left: 'rearfoot', right: 'midfoot', method: 'live' },
    observedAt: '2026-10-04T07:59:58.000Z',
  }),
  correction: ({ sighting }) => ({ kind: 'correction', target: sighting, bib: '77' }),
  withdrawal: ({ sighting }) => ({ kind: 'withdrawal', target: sighting }),
  ruling: ({ checkpoint }) => ({ kind: 'ruling', checkpoint, bib: '7', left: 'midfoot', right: 'midfoot' }),
  acceptance: ({ sighting }) => ({
    ...{ kind: 'acceptance', doubt: '0123456789abcdef', settles: 'disputed', targets: [sighting] },
  }),
  clip: ({ checkpoint }) => ({
    ...{
      kind: 'clip',
      clip: 'ab'.repeat(32),
      checkpoint,
      bytes: 1000,
      frames: 500,
      fpsRecorded: 240,
      fpsFrom: 'person',
    },
    ...{
      fpsStored: 30,
      timing: 'even',
      width: 960,
      height: 540,
      rotation: 0,
      codec: 'avc1.640020',
      direction: 'right',
    },
  }),
  plan: ({ checkpoint }) => ({
    ...{ kind: 'plan', answers: '{"starters":1200}', expected: [{ checkpoint, classified: 446 }] },
  }),
  draw: ({ checkpoint }) => ({
    ...{ kind: 'draw', checkpoint, seed: 2_718_281, bibs: ['7', '12'], live: ['rearfoot', 'midfoot'] },
  }),
  mark: () => ({
    ...{ kind: 'mark', clip: 'ab'.repeat(32), passage: '0197b2f0-0000-7000-8000-000000000001', foot: 'left' },
    ...{ event: 'contact', frame: 12, atUs: 50_000, gapUs: 4167, heel: [10.5, 20], toe: [60, 21.1] },
  }),
};

/** A sound record of this kind. */
export function sampleRecord(kind: RecordKind, needs: SampleNeeds): TallyRecord {
  const { id, race, device, seq } = needs;
  return { ...{ id, race, device, seq, observer: 'A1', madeAt: '2026-10-04T08:00:00.000Z' }, ...SAMPLES[kind](needs) };
}
