import type { RecordKind } from '../../src/lib/records/kinds.ts';
import type { RecordOf, TallyRecord } from '../../src/lib/records/record.ts';

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
};

/** A sound record of this kind. */
export function sampleRecord(kind: RecordKind, needs: SampleNeeds): TallyRecord {
  const { id, race, device, seq } = needs;
  return { ...{ id, race, device, seq, observer: 'A1', madeAt: '2026-10-04T08:00:00.000Z' }, ...SAMPLES[kind](needs) };
}
