import { newId } from '../../../src/lib/records/new-id.ts';
import type { Foot } from '../../../src/lib/records/foot.ts';
import type { Sighting } from '../../../src/lib/records/record.ts';
import { seededRandom } from '../../../src/lib/records/seeded-random.ts';
import type { RaceToSeed } from '../browser/seed-race.ts';

const FEET: readonly Foot[] = ['rearfoot', 'rearfoot', 'rearfoot', 'rearfoot', 'midfoot', 'forefoot'];

/** A small invented race of one club: two checkpoints, one observer, some runners turning to the rearfoot. */
export function smallRace(name: string, date: string, runners: number, seed: number): RaceToSeed {
  const random = seededRandom(seed);
  const randomBytes = (bytes: Uint8Array): Uint8Array => bytes.map(() => Math.floor(random() * 256));
  const startMs = Date.parse(`${date}T09:00:00Z`);
  const id = newId(startMs, randomBytes);
  const device = newId(startMs, randomBytes);
  const records: Sighting[] = [];
  const look = (checkpoint: string, bib: string, left: Foot, right: Foot): void => {
    const atMs = startMs + records.length * 7_000;
    const observedAt = new Date(atMs).toISOString();
    records.push({
      ...{ id: newId(atMs, randomBytes), kind: 'sighting', race: id, observer: 'A1', device },
      ...{ seq: records.length + 1, madeAt: observedAt, checkpoint, bib, left, right, method: 'live', observedAt },
    });
  };
  const bibs = Array.from({ length: runners }, (_, i) => String(100 + i));
  const feet = bibs.map(() => FEET[Math.floor(random() * FEET.length)]!);
  bibs.forEach((bib, i) => look('ford', bib, feet[i]!, random() < 0.07 ? 'midfoot' : feet[i]!));
  bibs.forEach((bib, i) => {
    const foot = random() < 0.12 ? 'rearfoot' : feet[i]!;
    if (random() < 0.9) look('mill', bib, foot, random() < 0.05 ? 'forefoot' : foot);
  });
  return {
    race: {
      ...{ id, name, date, km: 21.1, timeZone: 'Europe/London' },
      checkpoints: [
        { id: 'ford', name: 'Ford', km: 5 },
        { id: 'mill', name: 'Mill', km: 18 + (seed % 5) },
      ],
      observers: [
        { code: 'A1', checkpoint: 'ford' },
        { code: 'A1', checkpoint: 'mill' },
      ],
    },
    // Every second runner is of the club; their codes are the same in every race, their bibs are not.
    startList: bibs.map((bib, i) => ({ bib, ...(i % 2 === 0 ? { runner: `club-${(i + seed) % runners}` } : {}) })),
    results: bibs.map((bib, i) => ({ bib, finish: 5400 + 11 * i })),
    records,
  };
}
