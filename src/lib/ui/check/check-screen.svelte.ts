import type { Foot, Gait } from '../../records/foot.ts';
import { correctBib, leaveAsIs, moveTo, rule, takeBack, withdraw } from '../../check/decisions.ts';
import type { DecisionDraft, DoubtKind } from '../../check/doubt.ts';
import { doubtTitle, type DoubtContext } from '../../check/doubt-words.ts';
import { timeOfDay } from '../../race/time-of-day.ts';
import type { TallyRecord } from '../../records/record.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { loadLeadCode, saveLeadCode } from '../../store/race/lead-code.ts';
import { hearOfRecords } from '../../store/records/record-news.ts';
import { addRecord } from '../../store/records/add-record.ts';
import type { Moment } from '../../store/records/record-counters.ts';
import { storeFailureWords } from '../../store/store-failure.ts';
import type { CheckView, DecisionView, DoubtView } from './check-from-store.ts';

export interface CheckNeeds {
  readonly db: KerbsideDatabase;
  readonly raceId: string;
  readonly moment: () => Moment;
  readonly check: (raceId: string, onShare: (share: number) => void) => Promise<CheckView | null>;
  /** Ends the check that runs without an answer. */
  readonly breakOff: () => void;
  /** Asks the hub of clocks and counting; whether anything was learnt. */
  readonly learn: (raceId: string) => Promise<boolean>;
}

export type CheckFilter = DoubtKind | 'all' | 'settled';

/** The state of the Check screen: what the check found, which doubt is open, and the way decisions become records. */
export class CheckScreen {
  readonly #needs: CheckNeeds;
  #view = $state.raw<CheckView | null>(null);
  #status = $state<'reading' | 'stopped' | 'ready' | 'unknown' | 'failed'>('reading');
  #share = $state(0);
  /** Counts the checks that were begun or broken off: an answer to an earlier one is too late. */
  #turn = 0;
  #fault = $state<string | null>(null);
  #filter = $state<CheckFilter>('all');
  #open = $state<string | null>(null);
  #lead = $state<string | null>(null);
  #message = $state('');
  #last = $state.raw<DecisionView | null>(null);
  /** Doubts just decided: hidden until the check has seen the record. */
  #decided = $state.raw<readonly string[]>([]);
  #busy = $state(false);
  #running = false;
  #again = false;

  readonly shown = $derived.by(() => {
    const doubts = (this.#view?.doubts ?? []).filter((doubt) => !this.#decided.includes(doubt.key));
    return this.#filter === 'all' ? doubts : doubts.filter((doubt) => doubt.kind === this.#filter);
  });
  readonly counts = $derived.by(() => {
    const counts: Record<DoubtKind | 'all' | 'settled', number> = {
      ...{ all: 0, settled: this.#view?.decisions.length ?? 0 },
      ...{ unlisted: 0, disputed: 0, time: 0, double: 0, clip: 0, missing: 0 },
    };
    for (const doubt of this.#view?.doubts ?? []) {
      if (this.#decided.includes(doubt.key)) continue;
      counts.all += 1;
      counts[doubt.kind] += 1;
    }
    return counts;
  });
  readonly context = $derived.by((): DoubtContext => {
    const clock = timeOfDay({ timeZone: this.#view?.race.timeZone });
    return { checkpoints: this.#view?.checkpoints ?? [], clock };
  });
  readonly openDoubt = $derived(this.shown.find((doubt) => doubt.key === this.#open) ?? null);
  /** The decision that was made last on this screen, while it is in force. */
  readonly lastDecision = $derived.by(() => {
    const last = this.#last;
    if (!last) return null;
    // Until the check has seen it, what was written here is all that is known of it.
    return this.#view?.decisions.find((d) => d.key === last.key) ?? (this.#decided.includes(last.key) ? last : null);
  });

  constructor(needs: CheckNeeds) {
    this.#needs = needs;
  }

  get view(): CheckView | null {
    return this.#view;
  }
  get status(): 'reading' | 'stopped' | 'ready' | 'unknown' | 'failed' {
    return this.#status;
  }
  get fault(): string | null {
    return this.#fault;
  }
  get filter(): CheckFilter {
    return this.#filter;
  }
  /** Which share of the running check is done, 0 to 1. */
  get share(): number {
    return this.#share;
  }
  get lead(): string | null {
    return this.#lead;
  }
  /** What was done last, for the status line and the screen reader. */
  get message(): string {
    return this.#message;
  }
  get busy(): boolean {
    return this.#busy;
  }

  /** Reads the lead's code and checks; listens for new records until the returned function is called. */
  start(): () => void {
    void this.#readLead();
    void this.refresh();
    void this.#learn();
    return hearOfRecords(this.#needs.raceId, () => void this.#refreshUnlessStopped());
  }

  async #learn(): Promise<void> {
    if (await this.#needs.learn(this.#needs.raceId)) await this.#refreshUnlessStopped();
  }

  async #refreshUnlessStopped(): Promise<void> {
    if (this.#status !== 'stopped') await this.refresh();
  }

  async #readLead(): Promise<void> {
    this.#lead = await loadLeadCode(this.#needs.db, this.#needs.raceId);
  }

  async setLead(code: string): Promise<void> {
    const trimmed = code.trim();
    if (!trimmed) return;
    await saveLeadCode(this.#needs.db, this.#needs.raceId, trimmed);
    this.#lead = trimmed;
  }

  choose(filter: CheckFilter): void {
    this.#filter = filter;
    this.#open = null;
  }

  open(key: string | null): void {
    this.#open = key;
  }

  /** Checks again; asked while a check runs, it runs once more after it. */
  async refresh(): Promise<void> {
    if (this.#running) {
      this.#again = true;
      return;
    }
    this.#running = true;
    this.#turn += 1;
    const turn = this.#turn;
    if (this.#status === 'stopped') this.#status = 'reading';
    try {
      do {
        this.#again = false;
        this.#share = 0;
        const view = await this.#needs.check(this.#needs.raceId, (share) => (this.#share = share));
        if (turn !== this.#turn) return;
        this.#view = view;
        this.#status = view ? 'ready' : 'unknown';
      } while (this.#again);
      this.#decided = [];
    } catch (error) {
      this.#status = 'failed';
      this.#fault = error instanceof Error ? error.message : String(error);
    } finally {
      if (turn === this.#turn) this.#running = false;
    }
  }

  /** Breaks off the first check, while there is nothing to show. */
  stop(): void {
    this.#turn += 1;
    this.#running = false;
    this.#again = false;
    this.#status = 'stopped';
    this.#needs.breakOff();
  }

  /** Writes what is proposed. */
  accept(doubt: DoubtView): Promise<boolean> {
    return this.#decide(doubt, doubt.proposal ?? []);
  }
  correct(doubt: DoubtView, records: readonly string[], bib: string | null): Promise<boolean> {
    return this.#decide(doubt, correctBib(doubt, records, bib));
  }
  takeOut(doubt: DoubtView, record: string): Promise<boolean> {
    return this.#decide(doubt, withdraw(doubt, [record]));
  }
  move(doubt: DoubtView, record: string, checkpoint: number): Promise<boolean> {
    return this.#decide(doubt, moveTo(doubt, this.context, record, checkpoint));
  }
  rule(doubt: DoubtView, seen: { gait: Gait; left: Foot; right: Foot }): Promise<boolean> {
    return this.#decide(doubt, rule(doubt, this.context, seen));
  }
  leave(doubt: DoubtView): Promise<boolean> {
    return this.#decide(doubt, leaveAsIs(doubt));
  }

  /** Withdraws a decision's records: the doubt comes back as it was. */
  async takeBack(decision: DecisionView): Promise<boolean> {
    const written = await this.#write(takeBack(decision));
    if (!written) return false;
    this.#message = `Taken back: ${decision.sentence}.`;
    this.#last = null;
    await this.refresh();
    return true;
  }

  async #decide(doubt: DoubtView, drafts: readonly DecisionDraft[]): Promise<boolean> {
    const records = drafts.length ? await this.#write(drafts) : null;
    if (!records) return false;
    this.#decided = [...this.#decided, doubt.key];
    this.#last = { key: doubt.key, kind: doubt.kind, words: '', madeAt: '', records, sentence: doubtTitle(doubt) };
    this.#message = `Settled: ${doubtTitle(doubt)}.`;
    this.#open = null;
    void this.refresh();
    return true;
  }

  /** The records as written, or `null` when nothing, or not everything, could be kept. */
  async #write(drafts: readonly DecisionDraft[]): Promise<TallyRecord[] | null> {
    const { db, raceId: race, moment } = this.#needs;
    const observer = this.#lead;
    if (observer === null || this.#busy) return null;
    const written: TallyRecord[] = [];
    this.#busy = true;
    try {
      for (const draft of drafts) {
        const kept = await addRecord(db, { ...draft, race, observer }, moment());
        if (!kept.ok) {
          this.#message = `Not kept. ${storeFailureWords(kept.error)}`;
          return null;
        }
        written.push(kept.value);
      }
      return written;
    } finally {
      this.#busy = false;
    }
  }
}
