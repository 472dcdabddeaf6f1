import { firstPlan, planOfRace, type KeptPlan, type PlaceChange } from '../../plan/kept-plan.ts';
import { ruleToFix } from '../../plan/rule-words.ts';
import type { Race } from '../../race/race.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { loadPlan, savePlan } from '../../store/plans.ts';
import { findRace, loadStartList, saveRace } from '../../store/races.ts';
import { storeFailure, storeFailureText } from '../../store/store-failure.ts';
import { readOrganiserFile } from '../../tables/organiser/organiser-file.ts';
import { faultText } from '../../tables/csv/table-fault.ts';
import { browserSurroundings } from '../browser-surroundings.ts';
import { latestTest, withPractisedEye } from './from-practice.ts';
import { PlanClient } from './plan-client.ts';
import type { PlanReply } from './plan-messages.ts';

type Planned = Extract<PlanReply, { kind: 'plan' }>;

/** The plan of one race: what is said is kept and computed at once. */
export class PlanScreen {
  #race = $state.raw<Race>();
  #listed = $state(0);
  #kept = $state.raw<KeptPlan>();
  #planned = $state.raw<Planned>();
  #faults = $state.raw<readonly string[]>([]);
  #problem = $state('');
  #said = $state('');
  #missing = $state(false);
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
  }

  get race() {
    return this.#race;
  }
  get kept() {
    return this.#kept;
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
    return this.#problem;
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
    this.#kept = (await loadPlan(this.#db, this.#raceId)) ?? firstPlan(stored.race);
    this.#compute();
  }

  stop(): void {
    this.#client.stop();
  }

  answer(answers: KeptPlan['answers']): void {
    if (this.#kept) this.take({ ...this.#kept, answers: withoutGaps({ ...this.#kept.answers, ...answers }) });
  }

  changePlace(id: string, change: PlaceChange): void {
    const kept = this.#kept;
    if (kept) this.take({ ...kept, places: { ...kept.places, [id]: withoutGaps({ ...kept.places[id], ...change }) } });
  }

  chooseRule(rule: KeptPlan['rule']): void {
    if (this.#kept) this.take({ ...this.#kept, rule });
  }

  forgetLastYear(): void {
    if (this.#kept) this.take({ ...this.#kept, lastYear: null });
  }

  /** Takes the finish times of last year's results. Nothing else of them is kept. */
  async takeLastYear(file: File): Promise<void> {
    if (!this.#kept) return;
    this.#problem = '';
    const { rows, faults } = readOrganiserFile(new Uint8Array(await file.arrayBuffer()), 'results');
    if (faults.length > 0) {
      this.#problem = `${file.name}: ${faults.slice(0, 3).map(faultText).join('; ')}.`;
      return;
    }
    const finishes = rows.flatMap(({ finish }) => finish ?? []).sort((a, b) => a - b);
    if (finishes.length === 0) this.#problem = `${file.name}: nobody has a finish time.`;
    else this.take({ ...this.#kept, lastYear: { name: file.name, finishes } });
  }

  /** The seconds and the accuracy of the latest test in Practice, in place of what is assumed. */
  async takePractice(): Promise<void> {
    const eye = await latestTest(this.#db).catch(() => null);
    if (!this.#kept || !this.#race) return;
    if (!eye) {
      this.#said = 'Practice holds no test on this device that says how rearfoot is told from the rest.';
      return;
    }
    this.take(
      withPractisedEye(
        this.#kept,
        eye,
        this.#race.checkpoints.map(({ id }) => id),
      ),
    );
    this.#said = `Taken from the test of ${eye.observer}: ${eye.secondsEach} s a runner, a lower bound, since no bib was typed.`;
  }

  /** Set-up takes over the rule that is planned with, and the places that were tried. */
  async fixInSetUp(): Promise<void> {
    const stored = await findRace(this.#db, this.#raceId);
    const kept = this.#kept;
    if (!stored || !kept || !this.#planned) return;
    const { from: _from, ...rule } = this.#planned.figures.rule;
    const race: Race = {
      ...stored.race,
      checkpoints: stored.race.checkpoints.map((checkpoint) => ({
        ...checkpoint,
        km: kept.places[checkpoint.id]?.km ?? checkpoint.km,
      })),
      samplingRule: kept.rule === 'race' && stored.race.samplingRule ? stored.race.samplingRule : ruleToFix(rule),
    };
    try {
      await saveRace(this.#db, race, browserSurroundings.now());
      this.#race = race;
      this.#said = 'Set-up has this rule and these places.';
      this.chooseRule('race');
    } catch (error) {
      this.#problem = `Not saved. ${storeFailureText(storeFailure(error))}`;
    }
  }

  /** Keeps what was said and computes it. */
  take(kept: KeptPlan): void {
    this.#kept = kept;
    this.#save(kept);
    this.#compute();
  }

  #compute(): void {
    if (!this.#race || !this.#kept) return;
    const given = planOfRace(this.#race, this.#listed, this.#kept);
    const asked = unanswered(given);
    if (asked.length > 0) this.#faults = asked;
    else this.#client.compute(given, this.#kept.lastYear?.finishes ?? null);
  }

  #show(reply: PlanReply): void {
    this.#faults = reply.kind === 'faults' ? reply.faults : [];
    if (reply.kind === 'faults' || !this.#kept) return;
    this.#planned = reply;
    const { expected, inputs } = reply.figures;
    this.#kept = {
      ...this.#kept,
      expected: {
        places: expected.checkpoints.map(({ checkpoint, classified }) => ({ checkpoint, classified })),
        ...{ early: inputs.early, late: inputs.late, pairs: expected.pairs },
      },
    };
    this.#save(this.#kept);
  }

  /** One after the other, so that the last word is the one that stays. */
  #save(kept: KeptPlan): void {
    this.#lastSave = this.#lastSave.then(() =>
      savePlan(this.#db, this.#raceId, kept).catch((error: unknown) => {
        this.#problem = `Not saved. ${storeFailureText(storeFailure(error))}`;
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
