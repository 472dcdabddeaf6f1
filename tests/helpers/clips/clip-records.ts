import { readFileSync } from 'node:fs';
import type { Race } from '../../../src/lib/race/race.ts';
import type { TallyRecord } from '../../../src/lib/records/record.ts';

/** The key of a reference clip, as make-clips.mjs writes it. */
export interface ClipKey {
  readonly frames: number;
  readonly recordedFps: number;
  readonly storedFps: number;
  readonly width: number;
  readonly height: number;
  readonly direction: 'left' | 'right';
  readonly runners: readonly {
    readonly bib: string;
    readonly gait: 'run' | 'walk';
    readonly steps: readonly {
      readonly foot: 'left' | 'right';
      readonly side: 'near' | 'far';
      readonly contact: number;
      readonly toeOff: number;
      readonly flat: number;
      readonly class: 'rearfoot' | 'midfoot' | 'forefoot';
      readonly strikeAngle: number | null;
      readonly shankAngle: number | null;
      readonly contactSeconds: number;
      readonly points: Readonly<Record<'heel' | 'toe' | 'knee' | 'ankle' | 'flatHeel' | 'flatToe', [number, number]>>;
    }[];
  }[];
}

export function clipKey(name: string): ClipKey {
  return JSON.parse(readFileSync(new URL(`../../reference/clips/${name}.json`, import.meta.url), 'utf8')) as ClipKey;
}

export const CLIP_RACE: Race = {
  id: '01920000-0000-4000-8000-000000000001',
  name: 'Tannery Ten',
  date: '2033-01-11',
  checkpoints: [{ id: 'ford', name: 'Ford', km: 4 }],
  observers: [{ code: 'A', checkpoint: 'ford', side: 'right' }],
  revision: 1,
} as Race;

const FINGERPRINT = 'ab'.repeat(32);
const tenth = ([x, y]: [number, number]): [number, number] => [Math.round(x * 10) / 10, Math.round(y * 10) / 10];

/** The records of a person who marked a reference clip exactly as its key says. */
export function recordsOfKey(key: ClipKey): TallyRecord[] {
  let seq = 0;
  const common = () => {
    seq += 1;
    const at = new Date(Date.UTC(2033, 0, 12, 8) + seq * 1000).toISOString();
    const id = `01920000-0000-7000-8000-${String(seq).padStart(12, '0')}`;
    return { id, race: CLIP_RACE.id, observer: 'R', device: 'desk', seq, madeAt: at };
  };
  const gapUs = Math.round(1e6 / key.storedFps);
  const clip: TallyRecord = {
    ...common(),
    ...{ kind: 'clip', clip: FINGERPRINT, checkpoint: 'ford', bytes: 1_000_000, frames: key.frames },
    ...{ fpsRecorded: key.recordedFps, fpsFrom: 'person', fpsStored: key.storedFps, timing: 'even' },
    ...{ width: key.width, height: key.height, rotation: 0, codec: 'avc1.64002a', direction: key.direction },
  };
  const passages = key.runners.flatMap((runner, place) => {
    const passage = `01920000-0000-7000-9000-${String(place + 1).padStart(12, '0')}`;
    const mark = (foot: 'left' | 'right', event: 'contact' | 'toeoff' | 'flat', frame: number, points = {}) =>
      ({
        ...common(),
        ...{ kind: 'mark', clip: FINGERPRINT, passage, foot, event, frame },
        ...{ atUs: Math.round((frame * 1e6) / key.storedFps), gapUs, ...points },
      }) as TallyRecord;
    const marks = runner.steps.flatMap(({ foot, contact, toeOff, flat, points }) => [
      mark(foot, 'contact', contact, {
        ...{ heel: tenth(points.heel), toe: tenth(points.toe), knee: tenth(points.knee), ankle: tenth(points.ankle) },
      }),
      mark(foot, 'flat', flat, { heel: tenth(points.flatHeel), toe: tenth(points.flatToe) }),
      mark(foot, 'toeoff', toeOff),
    ]);
    const classOf = (side: 'left' | 'right') =>
      runner.gait === 'walk' ? 'unseen' : (runner.steps.find(({ foot }) => foot === side)?.class ?? 'unseen');
    const sighting: TallyRecord = {
      ...common(),
      ...{ kind: 'sighting', checkpoint: 'ford', bib: runner.bib, gait: runner.gait, method: 'clip' },
      ...{ left: classOf('left'), right: classOf('right'), observedAt: '2033-01-11T09:00:00.000Z' },
      ...{ clip: FINGERPRINT, passage, frame: runner.steps[0]?.contact ?? 0 },
    };
    return [...marks, sighting];
  });
  return [clip, ...passages];
}
