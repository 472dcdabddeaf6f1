import type { Race } from '../../race/race.ts';
import type { Sighting } from '../../records/record.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { findRace, loadStartList } from '../../store/race/races.ts';
import { ownRecords } from '../../store/records/records.ts';
import { hearOfSetUp } from '../../store/race/set-up-news.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';
import { loadTallyProgress, saveTallyProgress } from '../../store/race/tally-progress.ts';
import {
  loadTallyHandling,
  loadTallyPost,
  saveTallyHandling,
  saveTallyPost,
  type TallyHandling,
  type TallyPost,
} from '../../store/race/tally-settings.ts';
import { afterPaint } from '../timing/after-paint.ts';
import type { CodesInUse } from './station/codes-in-use.ts';
import { holdAlone } from './device/hold-alone.ts';
import { KeptProgress } from './kept-progress.ts';
import { showLight } from './device/show-light.ts';

/** More own records than this since the entry was put down are not looked through: it was put down after each of them. */
const SINCE_AT_MOST = 500;

/** What the Tally page needs before anybody can tally: race, list, post, handling and what the page before left. */
export class TallyPage {
  #race = $state.raw<Race | undefined>();
  #bibs = $state.raw<readonly string[]>([]);
  #post = $state.raw<TallyPost | undefined>();
  #handling = $state.raw<TallyHandling | undefined>();
  #kept = $state.raw<KeptProgress | undefined>();
  #fault = $state('');
  #loaded = $state(false);
  #inUse = $state.raw<CodesInUse | undefined>();

  constructor(
    private readonly db: KerbsideDatabase,
    readonly raceId: string,
  ) {}

  get race() {
    return this.#race;
  }
  get bibs() {
    return this.#bibs;
  }
  get post() {
    return this.#post;
  }
  get handling() {
    return this.#handling;
  }
  /** The entry as the page before left it, once there is a post. */
  get kept() {
    return this.#kept;
  }
  get fault() {
    return this.#fault;
  }
  get loaded() {
    return this.#loaded;
  }
  /** Under which codes other devices tally. */
  get inUse() {
    return this.#inUse;
  }

  /** Reads it all and follows what the lead changes, until the returned function is called. */
  start(): () => void {
    void this.#load();
    // A read that fails changes nothing: the race that is shown goes on being tallied.
    const end = hearOfSetUp(this.raceId, () => void this.#followSetUp().catch(() => undefined));
    const leave = () => this.#kept?.putDown();
    window.addEventListener('pagehide', leave);
    return () => {
      end();
      window.removeEventListener('pagehide', leave);
      this.#kept?.close();
    };
  }

  /** What was chosen holds for this page even where it cannot be kept for the next. */
  choosePost(chosen: TallyPost): void {
    const before = this.#post;
    this.#post = chosen;
    saveTallyPost(this.db, this.raceId, chosen).catch(() => undefined);
    if (before) return;
    this.#kept?.close();
    this.#kept = undefined;
    void this.#openKept();
  }

  chooseHandling(chosen: TallyHandling): void {
    this.#handling = chosen;
    showLight(chosen);
    saveTallyHandling(this.db, chosen).catch(() => undefined);
  }

  async #load(): Promise<void> {
    const { db, raceId } = this;
    try {
      const [stored, list, chosen, handling] = await Promise.all([
        findRace(db, raceId),
        loadStartList(db, raceId),
        loadTallyPost(db, raceId),
        loadTallyHandling(db),
      ]);
      this.#race = stored?.race;
      this.#bibs = list.rows.map((row) => row.bib);
      this.#handling = handling;
      showLight(handling);
      this.#post = this.#known(chosen);
      if (this.#post) await this.#openKept();
    } catch (error) {
      this.#fault = storeFailureWords(storeFailure(error));
    }
    this.#loaded = true;
    if (!this.#post) await this.#askForCodes();
  }

  /** A checkpoint may have gone since the post was chosen. */
  #known(post: TallyPost | undefined): TallyPost | undefined {
    const here = this.#race?.checkpoints ?? [];
    return post?.checkpoints.every((one) => here.some(({ id }) => id === one)) ? post : undefined;
  }

  /** Only who has yet to choose is told; the code for it comes when it is needed. */
  async #askForCodes(): Promise<void> {
    const { codesInUse } = await import('./station/codes-in-use.ts');
    this.#inUse = await codesInUse(this.db, this.raceId).catch(() => undefined);
  }

  /** The lead changed the race meanwhile: what is tallied from now on goes by it, what is under way stays. */
  async #followSetUp(): Promise<void> {
    const [stored, list] = await Promise.all([findRace(this.db, this.raceId), loadStartList(this.db, this.raceId)]);
    if (!stored) return;
    this.#race = stored.race;
    this.#bibs = list.rows.map((row) => row.bib);
    this.#post = this.#known(this.#post);
  }

  async #openKept(): Promise<void> {
    const { db, raceId } = this;
    const kept = new KeptProgress({
      raceId,
      station: () => stationOf(this.#post),
      clock: () => Date.now(),
      session: () => sessionStorage,
      load: () => loadTallyProgress(db, raceId),
      save: (text) => saveTallyProgress(db, raceId, text),
      sightingsAfter: async (seq) =>
        (await ownRecords(db, raceId, SINCE_AT_MOST, seq)).filter(
          (record): record is Sighting => record.kind === 'sighting',
        ),
      hold: (onHeld) => holdAlone(`kerbside-tally:${raceId}`, onHeld),
      afterPaint,
    });
    // What cannot be read must not keep anybody from tallying.
    await kept.open().catch(() => undefined);
    this.#kept = kept;
  }
}

/** Whose entry it is, and where: of places apart, the one where the observer is. */
function stationOf(post: TallyPost | undefined): string {
  if (!post) return '';
  const { observer, checkpoints, places, here } = post;
  return JSON.stringify([observer, ...(places === 'apart' && here ? [here] : checkpoints.toSorted())]);
}
