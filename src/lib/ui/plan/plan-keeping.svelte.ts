import { draftOfKept, expectedOf, planContent, type ExpectedRunners } from '../../plan/kept-plan.ts';
import type { PlanDraft } from '../../plan/plan-draft.ts';
import type { PlanFigures } from '../../plan/plan-figures.ts';
import type { Race } from '../../race/race.ts';
import type { PlanRecord } from '../../records/record.ts';
import { addRecord } from '../../store/records/add-record.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { findHubLink } from '../../store/hub/hub-links.ts';
import { findKeptPlan } from '../../store/race/kept-plans.ts';
import { loadLeadCode } from '../../store/race/lead-code.ts';
import type { Moment } from '../../store/records/record-counters.ts';
import { storeFailureWords } from '../../store/store-failure.ts';

/** Under which name a plan is kept where the lead has given none. */
const LEAD = 'Lead';

/** The plan that is kept with a race: a record of its own, made by a step of its own, which goes where the race goes. */
export class PlanKeeping {
  #record = $state.raw<PlanRecord | null>(null);
  #may = $state(false);
  #problem = $state('');
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;
  readonly #moment: () => Moment;

  constructor(db: KerbsideDatabase, raceId: string, moment: () => Moment) {
    this.#db = db;
    this.#raceId = raceId;
    this.#moment = moment;
  }

  get record(): PlanRecord | null {
    return this.#record;
  }
  /** Whether this device may keep one: where the race was set up, or with the organiser's key. */
  get may(): boolean {
    return this.#may;
  }
  get problem(): string {
    return this.#problem;
  }
  /** What was said for the kept plan; `null` without one that can be read. */
  get taken(): ReturnType<typeof draftOfKept> {
    return this.#record && draftOfKept(this.#record);
  }

  expected(race: Race): ExpectedRunners | null {
    return this.#record && expectedOf(race, this.#record);
  }

  async read(): Promise<void> {
    const link = await findHubLink(this.#db, this.#raceId);
    this.#may = link === undefined || link.role === 'organiser';
    this.#record = await findKeptPlan(this.#db, this.#raceId);
  }

  /** Whether the plan is the one that is kept, to what it expects. */
  holds(race: Race, draft: PlanDraft, figures: PlanFigures): boolean {
    const record = this.#record;
    if (!record) return false;
    const { answers, expected, pairs } = planContent(race, draft, figures);
    return (
      record.answers === answers &&
      record.pairs === pairs &&
      JSON.stringify(record.expected) === JSON.stringify(expected)
    );
  }

  /** Keeps the plan and says whether it is on the disk. */
  async keep(race: Race, draft: PlanDraft, figures: PlanFigures): Promise<boolean> {
    const observer = (await loadLeadCode(this.#db, this.#raceId)) ?? LEAD;
    const kept = await addRecord(
      this.#db,
      { ...planContent(race, draft, figures), race: this.#raceId, observer },
      this.#moment(),
    );
    this.#problem = kept.ok ? '' : `Not kept. ${storeFailureWords(kept.error)}`;
    if (kept.ok && kept.value.kind === 'plan') this.#record = kept.value;
    return kept.ok;
  }
}
