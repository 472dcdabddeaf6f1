import { firstPlan, planOfRace, type PlanDraft, type PlaceChange } from '../../plan/plan-draft.ts';
import type { Wave } from '../../plan/resolve-plan.ts';
import { ruleToFix } from '../../plan/rule-words.ts';
import type { Race } from '../../race/race.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { hearOfRecords } from '../../store/records/record-news.ts';
import { loadPlanDraft, savePlanDraft } from '../../store/race/plan-drafts.ts';
import { findRace, loadStartList, saveRace } from '../../store/race/races.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';
import { readOrganiserFile } from '../../tables/organiser/organiser-file.ts';
import { tableFaultWords } from '../../tables/csv/table-fault.ts';
import { browserSurroundings } from '../browser-surroundings.ts';
import { faultWords } from './fault-words.ts';
import { practisedEye, takenWords, withPractisedEye } from './from-practice.ts';
import { PlanKeeping } from './plan-keeping.svelte.ts';
import { PlanClient } from './plan-client.ts';
import type { PlanReply } from './plan-messages.ts';

type Planned = Extract<PlanReply, { kind: 'plan' }>;

/** The plan of one race: what is said is computed at once, and stays on this device as a draft. */
export class PlanScreen {
  #race = $state.raw<Race>();
  #listed = $state(0);
  #draft = $state.raw<PlanDraft>();
  #planned = $state.raw<Planned>();
  #faults = $state.raw<readonly string[]>([]);
  #problem = $state('');
  #said = $state('');
  #missing = $state(false);
  #asked = $state(0);
  readonly keeping: PlanKeeping;
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;
  readonly #client = new PlanClient(
    (reply) => this.#show(reply),
    (message) => (this.#problem = `Not computed: ${message}.`),
  );
  #lastSave: Promise<void> = Promise.resolve();

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
    this.keeping = new PlanKeeping(db, raceId, () => ({
      now: browserSurroundings.now(),
      randomBytes: browserSurroundings.randomBytes,
    }));
  }

  get race() {
    return this.#race;
  }
  get draft() {
    return this.#draft;
  }
  /** The figures last computed; they stay while what was said is at fault. */
  get planned() {
    return this.#planned;
  }
  /** What keeps the plan from being computed, a sentence for each. */
  get faults() {
    return this.#faults;
  }
  get problem() {
    return this.#problem || this.keeping.problem;
  }
  /** Whether the figures are those of what was said last. */
  get settled() {
    return this.#faults.length === 0 && this.#planned?.id === this.#asked;
  }
  /** Whether the plan on the screen is the one that is kept with the race. */
  get isKept() {
    if (!this.#race || !this.#draft || !this.#planned || !this.settled) return false;
    return this.keeping.holds(this.#race, this.#draft, this.#planned.figures);
  }
  /** What was done last, for a status line. */
  get said() {
    return this.#said;
  }
  get missing() {
    return this.#missing;
  }
  get listed() {
    return this.#listed;
  }

  async read(): Promise<void> {
    const stored = await findRace(this.#db, this.#raceId);
    this.#missing = !stored;
    if (!stored) return;
    this.#race = stored.race;
    this.#listed = (await loadStartList(this.#db, this.#raceId)).rows.length;
    await this.keeping.read();
    this.#draft = (await loadPlanDraft(this.#db, this.#raceId)) ?? this.keeping.taken?.draft ?? firstPlan(stored.race);
    this.#compute();
  }

  /** Reads anew which plan is kept, when another device brings one, until the returned function is called. */
  followKept(): () => void {
    return hearOfRecords(this.#raceId, () => void this.keeping.read());
  }

  async keep(): Promise<void> {
    if (!this.#race || !this.#draft || !this.#planned || !this.settled) return;
    if (await this.keeping.keep(this.#race, this.#draft, this.#planned.figures)) this.#said = 'Kept with the race.';
  }

  /** Takes up the kept plan again; last year's times stay where they are the same file's. */
  returnToKept(): void {
    const taken = this.keeping.taken;
    if (!taken) return;
    const own = this.#draft?.lastYear ?? null;
    const same = own !== null && own.name === taken.lastYear?.name && own.finishes.length === taken.lastYear.finishers;
    this.take({ ...taken.draft, lastYear: same ? own : null });
  }

  stop(): void {
    this.#client.stop();
  }

  answer(answers: PlanDraft['answers']): void {
    if (this.#draft) this.take({ ...this.#draft, answers: withoutGaps({ ...this.#draft.answers, ...answers }) });
  }

  changePlace(id: string, change: PlaceChange): void {
    const draft = this.#draft;
    if (draft)
      this.take({ ...draft, places: { ...draft.places, [id]: withoutGaps({ ...draft.places[id], ...change }) } });
  }

  changeWaves(waves: Wave[] | undefined): void {
    if (this.#draft) this.answer({ field: withoutGaps({ ...this.#draft.answers.field, waves }) });
  }

  chooseRule(rule: PlanDraft['rule']): void {
    if (this.#draft) this.take({ ...this.#draft, rule });
  }

  forgetLastYear(): void {
    if (this.#draft) this.take({ ...this.#draft, lastYear: null });
  }

  /** Takes the finish times of last year's results. Nothing else of them is kept. */
  async takeLastYear(file: File): Promise<void> {
    if (!this.#draft) return;
    this.#problem = '';
    const { rows, faults } = readOrganiserFile(new Uint8Array(await file.arrayBuffer()), 'results');
    if (faults.length > 0) {
      this.#problem = `${file.name}: ${faults.slice(0, 3).map(tableFaultWords).join('; ')}.`;
      return;
    }
    const finishes = rows.flatMap(({ finish }) => finish ?? []).sort((a, b) => a - b);
    if (finishes.length === 0) this.#problem = `${file.name}: nobody has a finish time.`;
    else this.take({ ...this.#draft, lastYear: { name: file.name, finishes } });
  }

  /** What the last rehearsal and the latest test say of seconds and accuracy, in place of what is assumed. */
  async takePractice(): Promise<void> {
    const eye = await practisedEye(this.#db).catch(() => null);
    if (!this.#draft || !this.#race) return;
    if (!eye) {
      this.#said = 'Practice holds no rehearsal and no test on this device that says how long a runner takes.';
      return;
    }
    this.take(
      withPractisedEye(
        this.#draft,
        eye,
        this.#race.checkpoints.map(({ id }) => id),
      ),
    );
    this.#said = takenWords(eye);
  }

  /** Set-up takes over the rule that is planned with, and the places that were tried. */
  async fixInSetUp(): Promise<void> {
    const stored = await findRace(this.#db, this.#raceId);
    const draft = this.#draft;
    if (!stored || !draft || !this.#planned) return;
    const { from: _from, ...rule } = this.#planned.figures.rule;
    const race: Race = {
      ...stored.race,
      checkpoints: stored.race.checkpoints.map((checkpoint) => ({
        ...checkpoint,
        km: draft.places[checkpoint.id]?.km ?? checkpoint.km,
      })),
      samplingRule: draft.rule === 'race' && stored.race.samplingRule ? stored.race.samplingRule : ruleToFix(rule),
    };
    try {
      await saveRace(this.#db, race, browserSurroundings.now());
      this.#race = race;
      this.#said = 'Set-up has this rule and these places.';
      this.chooseRule('race');
    } catch (error) {
      this.#problem = `Not saved. ${storeFailureWords(storeFailure(error))}`;
    }
  }

  /** Saves what was said as the draft, and computes it. */
  take(draft: PlanDraft): void {
    this.#draft = draft;
    this.#save(draft);
    this.#compute();
  }

  #compute(): void {
    if (!this.#race || !this.#draft) return;
    const given = planOfRace(this.#race, this.#listed, this.#draft);
    const asked = unanswered(given);
    if (asked.length > 0) this.#faults = asked;
    else this.#asked = this.#client.compute(given, this.#draft.lastYear?.finishes ?? null);
  }

  #show(reply: PlanReply): void {
    const places = this.#race?.checkpoints.map(({ name }) => name) ?? [];
    this.#faults = reply.kind === 'faults' ? reply.faults.map((fault) => faultWords(fault, places)) : [];
    if (reply.kind === 'plan') this.#planned = reply;
  }

  /** One after the other, so that the last word is the one that stays. */
  #save(draft: PlanDraft): void {
    this.#lastSave = this.#lastSave.then(() =>
      savePlanDraft(this.#db, this.#raceId, draft).catch((error: unknown) => {
        this.#problem = `Not saved. ${storeFailureWords(storeFailure(error))}`;
      }),
    );
  }
}

/** What only a person knows, as questions. */
function unanswered(given: ReturnType<typeof planOfRace>): string[] {
  return [
    ...(given.starters === undefined ? ['How many start?'] : []),
    ...(given.km === undefined ? ['How long is the course? Set-up asks for it.'] : []),
    ...(given.checkpoints?.length ? [] : ['Where will you stand? Set-up asks for the checkpoints.']),
  ];
}

/** An answer taken back is none: it takes its default again. */
function withoutGaps<Answers extends object>(answers: Answers): Answers {
  return Object.fromEntries(Object.entries(answers).filter(([, value]) => value !== undefined)) as Answers;
}
