import type { BibList } from '../../race/bib-list.ts';
import type { Race } from '../../race/race.ts';
import { instantOfWallClock } from '../../race/wall-clock.ts';
import { utcInstant } from '../../records/instant.ts';
import { addRecord } from '../../store/records/add-record.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import type { Moment } from '../../store/records/record-counters.ts';
import { storeFailureWords } from '../../store/store-failure.ts';
import { paperDifferences, readPaperLines, timesBetween, type PaperRunner } from '../../tally/paper-lines.ts';

export interface PaperNeeds {
  readonly db: KerbsideDatabase;
  readonly race: Race;
  readonly bibs: BibList;
  /** Where the race has no time zone, the device's own. */
  readonly timeZone: string;
  readonly moment: () => Moment;
}

/** One sheet as it is keyed in: who wrote it, where and when, its lines, and a second keying to hold it against. */
export class PaperSheet {
  observer = $state('');
  checkpoint = $state('');
  from = $state('');
  to = $state('');
  first = $state('');
  second = $state('');
  /** Whether the sheet is keyed in twice. */
  twice = $state(false);
  /** For places where the two keyings differ, which of them is right. */
  #ruled = $state.raw<Readonly<Record<number, 'first' | 'second'>>>({});
  #message = $state('');
  #problem = $state('');
  #busy = $state(false);

  readonly read = $derived.by(() => readPaperLines(this.first, this.needs.bibs));
  readonly readAgain = $derived.by(() => readPaperLines(this.second, this.needs.bibs));
  readonly differences = $derived(this.twice ? paperDifferences(this.read.runners, this.readAgain.runners) : []);
  readonly open = $derived(this.differences.filter(({ place }) => !this.#ruled[place]));
  /** What would be kept: the first keying, with what was ruled. */
  readonly runners = $derived.by((): readonly PaperRunner[] => {
    const places = Math.max(this.read.runners.length, this.twice ? this.readAgain.runners.length : 0);
    return Array.from({ length: places }, (_, i) => {
      const one = this.differences.find(({ place }) => place === i + 1);
      return one ? one[this.#ruled[i + 1] ?? 'first'] : this.read.runners[i];
    }).filter((runner) => runner !== undefined);
  });
  readonly faults = $derived.by(() => {
    const faults: string[] = [];
    const [fromMs, toMs] = this.#times;
    if (!this.observer.trim()) faults.push('Give the observer’s code.');
    if (!this.checkpoint) faults.push('Choose the checkpoint.');
    if (fromMs === null || toMs === null) faults.push('Give both times of the sheet, such as 10:05.');
    else if (toMs <= fromMs) faults.push('The time at the foot comes after the one at the head.');
    const unread = [...this.read.remarks, ...(this.twice ? this.readAgain.remarks : [])].filter((one) => one.fault);
    if (unread.length) faults.push(`Correct the ${unread.length === 1 ? 'line' : 'lines'} that cannot be read.`);
    if (this.open.length) faults.push(`Rule on ${this.open.length} more where the keyings differ.`);
    if (!this.runners.length) faults.push('Key in at least one runner.');
    return faults;
  });

  constructor(private readonly needs: PaperNeeds) {}

  get ruled() {
    return this.#ruled;
  }
  get message() {
    return this.#message;
  }
  get problem() {
    return this.#problem;
  }
  get busy() {
    return this.#busy;
  }

  rule(place: number, which: 'first' | 'second'): void {
    this.#ruled = { ...this.#ruled, [place]: which };
  }

  get #times(): [number | null, number | null] {
    const { race, timeZone } = this.needs;
    const ms = (text: string) => {
      const instant = instantOfWallClock(race.date, text, race.timeZone ?? timeZone);
      return instant === null ? null : Date.parse(instant);
    };
    return [ms(this.from), ms(this.to)];
  }

  /** Keeps every runner of the sheet as a sighting whose time is estimated, then makes room for the next sheet. */
  async keep(): Promise<void> {
    const [fromMs, toMs] = this.#times;
    const runners = this.runners;
    if (this.faults.length || fromMs === null || toMs === null || this.#busy) return;
    this.#busy = true;
    this.#problem = '';
    const times = timesBetween(fromMs, toMs, runners.length);
    let kept = 0;
    for (const runner of runners) {
      const outcome = await this.#keepOne(runner, times[kept] ?? fromMs);
      if (outcome !== null) {
        this.#problem = `${outcome} ${kept} of ${runners.length} are kept; take those lines out before you try again.`;
        break;
      }
      kept += 1;
    }
    this.#busy = false;
    if (kept < runners.length) return;
    this.#message = `${kept} ${kept === 1 ? 'runner' : 'runners'} of the sheet kept.`;
    this.first = '';
    this.second = '';
    this.from = this.to;
    this.to = '';
    this.#ruled = {};
  }

  async #keepOne({ bib, gait, left, right }: PaperRunner, ms: number): Promise<string | null> {
    const { db, race, moment } = this.needs;
    const outcome = await addRecord(
      db,
      {
        ...{ kind: 'sighting', race: race.id, observer: this.observer.trim(), checkpoint: this.checkpoint, bib },
        ...(gait === 'walk' ? { gait } : {}),
        ...{ left, right, method: 'live', observedAt: utcInstant(ms), timeEstimated: true },
      },
      moment(),
    );
    return outcome.ok ? null : `Not kept. ${storeFailureWords(outcome.error)}`;
  }
}
