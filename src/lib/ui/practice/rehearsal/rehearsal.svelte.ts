import type { Race } from '../../../race/race.ts';
import { newId } from '../../../records/new-id.ts';
import { projectRecords } from '../../../records/projection.ts';
import { practisedSeconds } from '../../../plan/practised-seconds.ts';
import { dueInRehearsal, everyKthInRehearsal, type EveryKth } from '../../../practice/due-in-rehearsal.ts';
import { rehearsalScore, type RehearsalScore } from '../../../practice/rehearsal-score.ts';
import { rehearsalScript, type Passing } from '../../../practice/rehearsal-script.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { eraseRehearsal, loadRehearsal, saveRehearsal, type KeptRehearsal } from '../../../store/rehearsals.ts';
import { eraseRace, listRaces, loadStartList, saveRace, saveStartList } from '../../../store/race/races.ts';
import { allRecords } from '../../../store/records/records.ts';
import { storeFailure, storeFailureWords } from '../../../store/store-failure.ts';
import { loadTallyHandling, type TallyHandling, type TallyPost } from '../../../store/race/tally-settings.ts';
import { browserSurroundings } from '../../browser-surroundings.ts';
import { NEAR_FOOT } from '../paint/paint-crowd.ts';

/** What a rehearsal is asked for with. */
export interface RehearsalChoice {
  readonly observer: string;
  readonly perMinute: number;
  readonly pack: number;
  /** A race on this device whose bibs and rule are taken; without one they are invented. */
  readonly raceId: string | undefined;
}

/** A rehearsal under way: a practice race, and the script of who passes. */
export interface Rehearsal {
  readonly race: Race;
  readonly bibs: readonly string[];
  readonly post: TallyPost;
  readonly handling: TallyHandling;
  readonly script: readonly Passing[];
  /** As it was asked for: mean number of runners who pass as one. */
  readonly pack: number;
  /** Milliseconds since 1970. */
  readonly startedAt: number;
}

/** Runners who passed, those of them whom the rule asked for, and those of these classed. */
interface Asked {
  readonly passed: number;
  readonly due: number;
  readonly classed: number;
}

export const REHEARSAL_SECONDS = 180;
const INVENTED_BIBS = 600;
const PLACE = { id: 'kerb', name: 'Rehearsal', km: 5 } as const;

/** Makes the practice race, reads what was tallied into it, scores it, and erases it. */
export class RehearsalDesk {
  #running = $state.raw<Rehearsal | undefined>();
  #score = $state.raw<RehearsalScore | undefined>();
  #everyKth = $state.raw<EveryKth | null>(null);
  #races = $state.raw<readonly Race[]>([]);
  #last = $state.raw<KeptRehearsal | null>(null);
  #problem = $state('');

  constructor(private readonly db: KerbsideDatabase) {}

  get running() {
    return this.#running;
  }
  get score() {
    return this.#score;
  }
  /** How many were due where the rule was every k-th. */
  get everyKth() {
    return this.#everyKth;
  }
  /** Races whose bibs and rule a rehearsal can take. */
  get races() {
    return this.#races;
  }
  /** What is kept of the rehearsal before. */
  get last() {
    return this.#last;
  }
  get problem() {
    return this.#problem;
  }

  async readRaces(): Promise<void> {
    await this.#work(async () => {
      this.#last = await loadRehearsal(this.db);
      this.#races = (await listRaces(this.db)).map(({ race }) => race).filter(({ name }) => !isRehearsal(name));
    });
  }

  /** How many runners a start list has. */
  async runners(raceId: string): Promise<number> {
    return (await loadStartList(this.db, raceId)).rows.length;
  }

  async begin({ observer, perMinute, pack, raceId }: RehearsalChoice): Promise<void> {
    await this.#work(async () => {
      const startedAt = browserSurroundings.now();
      const as = this.#races.find(({ id }) => id === raceId);
      const listed = raceId === undefined ? [] : (await loadStartList(this.db, raceId)).rows.map(({ bib }) => bib);
      const bibs = listed.length > 0 ? listed : Array.from({ length: INVENTED_BIBS }, (_, i) => String(i + 1));
      const race = rehearsalRace(startedAt, as);
      // The race last: while it is not in the list nobody opens half of it.
      await saveStartList(
        this.db,
        race.id,
        bibs.map((bib) => ({ bib })),
      );
      await saveRace(this.db, race, startedAt, true);
      const seed = new DataView(browserSurroundings.randomBytes(new Uint8Array(4)).buffer as ArrayBuffer).getUint32(0);
      this.#score = undefined;
      this.#running = {
        race,
        bibs,
        post: { observer: observer.trim(), checkpoints: [PLACE.id], method: 'live', towards: false, countShift: 0 },
        handling: await loadTallyHandling(this.db),
        script: rehearsalScript({ seed, perMinute, pack, seconds: REHEARSAL_SECONDS, bibs }),
        pack,
        startedAt: browserSurroundings.now(),
      };
    });
  }

  /** Scores what was tallied by now against who passed by now, and erases the practice race. */
  async finish(): Promise<void> {
    const rehearsal = this.#running;
    if (!rehearsal) return;
    await this.#work(async () => {
      const { race, script, startedAt } = rehearsal;
      const until = browserSurroundings.now() - startedAt;
      const { sightings } = projectRecords(await allRecords(this.db, race.id));
      const standing = sightings
        .filter(({ withdrawn }) => !withdrawn)
        .map(({ record, bib, gait, left, right, passed }) => ({
          ...{ bib, gait, left, right, passed },
          atMs: Date.parse(record.observedAt) - startedAt,
        }));
      const passed = script.filter(({ atMs }) => atMs <= until);
      const isDue = dueInRehearsal(race.samplingRule, startedAt, race.timeZone);
      this.#score = rehearsalScore(passed, standing, NEAR_FOOT, isDue);
      this.#everyKth = everyKthInRehearsal(race.samplingRule, this.#score);
      await this.#keep(rehearsal, this.#asked(this.#score), Math.min(until, REHEARSAL_SECONDS * 1000));
      this.#running = undefined;
      await eraseRace(this.db, race.id);
    });
  }

  /** Of those whom the rule asked for, those classed; under every k-th whoever was classed counts as one of them. */
  #asked({ due, passed, classed }: RehearsalScore): Asked | null {
    const kth = this.#everyKth;
    if (kth) return { due: kth.due, classed: Math.min(classed, kth.due), passed };
    return due && { due: due.passed, classed: due.classed, passed };
  }

  /** Keeps on this device how many were classed, for the plan. */
  async #keep({ post, race, pack }: Rehearsal, asked: Asked | null, tookMs: number): Promise<void> {
    if (!asked) return;
    const { due, classed, passed } = asked;
    const rule = race.samplingRule ?? { kind: 'everyone' as const };
    const perMinute = tookMs > 0 ? (passed * 60_000) / tookMs : 0;
    this.#last = {
      ...{ observer: post.observer, endedAt: browserSurroundings.now(), due, classed },
      secondsEach: practisedSeconds({ due, classed, perMinute, pack, rule }),
    };
    await saveRehearsal(this.db, this.#last);
  }

  async forgetLast(): Promise<void> {
    await this.#work(() => eraseRehearsal(this.db));
    this.#last = null;
  }

  close(): void {
    this.#score = undefined;
  }

  async #work(work: () => Promise<void>): Promise<void> {
    this.#problem = '';
    try {
      await work();
    } catch (error) {
      this.#problem = `This did not work. ${storeFailureWords(storeFailure(error))}`;
    }
  }
}

const isRehearsal = (name: string): boolean => name.startsWith(`${PLACE.name}, `);

function rehearsalRace(now: number, as: Race | undefined): Race {
  const at = new Date(now);
  const rule = as?.samplingRule;
  return {
    id: newId(now, browserSurroundings.randomBytes),
    name: `${PLACE.name}, ${at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })}`,
    date: at.toISOString().slice(0, 10),
    timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
    checkpoints: [PLACE],
    observers: [],
    ...(rule ? { samplingRule: rule } : {}),
  };
}
