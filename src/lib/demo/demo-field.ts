import type { Race, ResultRow, StartListRow } from '../race/race.ts';
import { normalDraw, type Random } from '../records/seeded-random.ts';
import { utcInstant } from '../records/instant.ts';

/** The invented race: nobody in it exists, and no such course is run. */
export const DEMO_RACE: Race = {
  id: '0d5c4f2e-6b1a-4c3d-9e87-5a2b6f10c4d9',
  name: 'Kestrel Dyke Marathon (invented)',
  date: '2026-10-04',
  km: 42.195,
  start: '2026-10-04T08:00:00.000Z',
  timeZone: 'Europe/London',
  finishClock: 'gun',
  checkpoints: [
    { id: 'old-pier', name: 'Old Pier', km: 10 },
    { id: 'quarry-hill', name: 'Quarry Hill', km: 32 },
  ],
  observers: [
    { code: 'A1', checkpoint: 'old-pier', side: 'left' },
    { code: 'A2', checkpoint: 'old-pier', side: 'right' },
    { code: 'B1', checkpoint: 'quarry-hill', side: 'left' },
  ],
  samplingRule: { kind: 'everyone' },
};

const ENTERED = 1236;
const DID_NOT_START = 36;
const DROPPED_OUT = 58;
/** Three waves, five minutes apart. */
const WAVE_MS = 5 * 60_000;

const FIRST_NAMES = {
  F: 'Ada Beth Carys Dilys Edie Freya Greta Hetty Iris Jess Kit Lena Mabel Nell Orla Pia Rosa Sana Tilly Una Vera Wren',
  M: 'Alec Ben Cai Dev Eli Finn Gus Hal Ivo Jon Karl Leo Milo Ned Otis Pat Ravi Sam Tom Uri Vic Will',
};
const NAME_HEADS =
  'Alder Birch Cobble Dunlin Elver Furrow Gorse Heron Kettle Lantern Mallow Nettle Otter Plover Reed Tarn';
const NAME_TAILS = 'beck by croft den ford gate holt ley mere moor stow thwaite wick worth';
const TEAMS = ['Mudlark Runners', 'Lantern Lane', 'Tidewrack', 'Night Bus Crew', 'Third Kettle', 'Gorsebank'];

export interface DemoRunner {
  readonly bib: string;
  readonly entry: StartListRow;
  /** Milliseconds since 1970 at which this runner passes each checkpoint; not there for whoever does not come so far. */
  readonly passesAtMs: ReadonlyMap<string, number>;
  readonly result: ResultRow;
  /** Net finish over the field's median: above 1 is slower. */
  readonly slowness: number;
}

const pick = <Item>(random: Random, items: readonly Item[]): Item => items[Math.floor(random() * items.length)]!;

/** A shuffled copy. */
export function shuffled<Item>(random: Random, items: readonly Item[]): Item[] {
  const out = [...items];
  for (let i = out.length - 1; i > 0; i -= 1) {
    const j = Math.floor(random() * (i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}

function freshBibs(random: Random): string[] {
  const bibs = new Set<string>();
  while (bibs.size < ENTERED) bibs.add(String(1000 + Math.floor(random() * 9000)));
  return [...bibs];
}

/**
 * Everyone entered: name, age, team, wave, pace and how it ends. Pace is log-normal, and later kilometres are slower by a
 * few in a hundred.
 */
export function demoField(random: Random): DemoRunner[] {
  const order = shuffled(
    random,
    Array.from({ length: ENTERED }, (_, i) =>
      i < DID_NOT_START ? 'DNS' : i < DID_NOT_START + DROPPED_OUT ? 'DNF' : 'finishes',
    ),
  );
  return freshBibs(random).map((bib, i) => demoRunner(random, bib, order[i]!));
}

function demoRunner(random: Random, bib: string, ending: string): DemoRunner {
  const sex = random() < 0.41 ? 'F' : 'M';
  const age = Math.round(Math.min(78, Math.max(18, normalDraw(random, 42, 11))));
  const name = `${pick(random, FIRST_NAMES[sex].split(' '))} ${pick(random, NAME_HEADS.split(' '))}${pick(random, NAME_TAILS.split(' '))}`;
  const team = random() < 0.4 ? pick(random, TEAMS) : undefined;
  const medianS = (sex === 'F' ? 4.35 : 3.95) * 3600 * (1 + 0.0025 * Math.max(0, age - 40));
  const netS = medianS * Math.exp(normalDraw(random, 0, 0.14));
  const slowness = netS / (4.1 * 3600);
  const wave = slowness < 0.93 ? 0 : slowness < 1.05 ? 1 : 2;
  const startMs = Date.parse(DEMO_RACE.start!) + wave * WAVE_MS;
  // Crossing the line takes up to a minute more in a wave.
  const overLineMs = startMs + random() * 60_000;
  const slowing = 0.04 * random() + Math.abs(normalDraw(random, 0, 0.02));
  const km = DEMO_RACE.km!;
  /** Share of the net time used up at a km, for a pace that grows linearly by `slowing` over the course. */
  const usedAt = (at: number) => (at / km) * ((1 + (slowing * at) / km) / (1 + slowing));
  const endsAtKm = ending === 'DNS' ? 0 : ending === 'DNF' ? 6 + random() * 35 : Infinity;
  const passesAtMs = new Map(
    DEMO_RACE.checkpoints
      .filter((checkpoint) => checkpoint.km < endsAtKm)
      .map((checkpoint) => [checkpoint.id, overLineMs + usedAt(checkpoint.km) * netS * 1000]),
  );
  const gunS = Math.round((overLineMs - Date.parse(DEMO_RACE.start!)) / 1000 + netS);
  return {
    bib,
    entry: { bib, name, sex, age, ...(team ? { team } : {}), start: utcInstant(startMs) },
    passesAtMs,
    result: ending === 'finishes' ? { bib, finish: gunS, sex, age } : { bib, sex, age, status: ending },
    slowness,
  };
}
