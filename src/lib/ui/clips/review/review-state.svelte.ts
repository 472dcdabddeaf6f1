import { expectedContact, nearestFrame } from '$lib/clips/expected-contact.ts';
import { gapBefore } from '$lib/clips/frame-times.ts';
import { mayMark } from '$lib/clips/may-mark.ts';
import { passagesOfRace } from '$lib/clips/passages-of-race.ts';
import type { Race } from '$lib/race/race.ts';
import type { Gait } from '$lib/records/foot.ts';
import type { MarkEvent, Side } from '$lib/records/mark-words.ts';
import { newId, type RandomBytes } from '$lib/records/new-id.ts';
import type { ProjectedMark } from '$lib/records/project-marks.ts';
import type { Clip, TallyRecord } from '$lib/records/record.ts';
import { viewOfRace } from '$lib/sightings/race-view.ts';
import { addRecord, type RecordDraft } from '$lib/store/records/add-record.ts';
import type { KerbsideDatabase } from '$lib/store/database.ts';
import { storeFailureWords } from '$lib/store/store-failure.ts';
import { clipSightingDraft } from '../clip-sighting-draft.ts';
import { ClipTimes } from '../clip-times.ts';
import { clipDraft, isSameSetUp, type ClipSetUp } from '../clip-set-up.ts';
import { figureLines, type FigureLine } from '../figure-lines.ts';
import { Film } from '../film.svelte.ts';
import type { OpenedFrames } from '../frames/open-frames.ts';
import { levelTask } from '../level-task.ts';
import { MarkPoints } from '../mark-points.ts';
import { passageViews, type MarkView, type PassageView } from '../passage-view.ts';
import { PointPlacing, type Spot } from '../point-placing.svelte.ts';
import { InTurn } from '../../timing/in-turn.ts';
import { ReviewedRunner } from './reviewed-runner.svelte.ts';
import { recordsOfClip } from '../records-of-clip.ts';

export interface ReviewNeeds {
  readonly db: KerbsideDatabase;
  readonly race: Race;
  readonly observer: string;
  readonly opened: OpenedFrames;
  /** Records of this race that are on the device. */
  readonly records: readonly TallyRecord[];
  readonly now: () => number;
  readonly randomBytes: RandomBytes;
}

export const EVENT_WORDS: Readonly<Record<MarkEvent, string>> = { contact: 'Contact', toeoff: 'Toe-off', flat: 'Flat' };

/** Recorded frames a second that a leap reckons with before the clip is set up. */
const USUAL_FPS = 240;

/** The review of one clip: the passages through it, their marks, and how each ends in a sighting. */
export class ReviewState {
  readonly film: Film;
  readonly placing: PointPlacing;
  readonly points: MarkPoints;
  readonly times: ClipTimes;
  readonly runner = new ReviewedRunner();
  readonly #needs: ReviewNeeds;
  /** What is pressed quickly is done one after the other, each seeing what the one before has kept. */
  readonly #steps = new InTurn();
  #records = $state.raw<readonly TallyRecord[]>([]);
  #passage = $state('');
  #foot = $state<Side>('right');
  #fault = $state('');
  #said = $state('');
  #flash = $state(0);
  #changing = $state(false);
  #level = $state.raw<Clip['level']>();

  constructor(needs: ReviewNeeds) {
    this.#needs = needs;
    this.placing = new PointPlacing(needs.opened.clip.facts);
    this.film = new Film(needs.opened, () => this.placing.stop());
    this.times = new ClipTimes(this.film, () => this.clip);
    this.points = new MarkPoints({
      placing: this.placing,
      mark: () => this.markHere,
      keep: (mark, points) => this.#keepPoints(mark, points),
    });
    this.#records = recordsOfClip(needs.records, needs.opened.clip.facts.clip, needs.observer);
    this.#passage = newId(needs.now(), needs.randomBytes);
  }

  readonly #view = $derived.by(() => viewOfRace(this.#needs.race, this.#records));
  readonly #passages = $derived.by(() => passagesOfRace(this.#view).passages);
  /** What stands of this file, if it has been set up. */
  readonly clip = $derived<Clip | undefined>(this.#view.projection.clips.findLast(({ stands }) => stands)?.record);
  readonly passages = $derived.by<readonly PassageView[]>(() => passageViews(this.#passages, this.#view));
  readonly current = $derived(this.passages.find(({ id }) => id === this.#passage));
  readonly figures = $derived.by<readonly FigureLine[]>(() => {
    const own = this.#passages.find(({ passage }) => passage.id === this.#passage);
    return own ? figureLines(own.passage) : [];
  });
  /** The mark of the chosen foot in the shown frame; contact or flat before a toe-off. */
  readonly markHere = $derived.by(() => this.#markAt(this.film.frame, this.#foot));

  #markAt(shown: number, side: Side): MarkView | undefined {
    const here = (this.current?.marks ?? []).filter(({ frame, foot }) => frame === shown && foot === side);
    return here.find(({ event }) => event !== 'toeoff') ?? here[0];
  }

  get foot(): Side {
    return this.#foot;
  }
  get fault(): string {
    return this.#fault || this.film.fault;
  }
  /** What was done last, for a screen reader and the line under the picture. */
  get said(): string {
    return this.#said;
  }
  /** Grows with each record that is kept. */
  get flash(): number {
    return this.#flash;
  }
  /** Whether what was said of the clip is being changed. */
  get changing(): boolean {
    return this.#changing;
  }
  /** Something level in the picture, as it was drawn here or stands. */
  get level(): Clip['level'] {
    return this.#level ?? this.clip?.level;
  }
  /** Recorded time of the shown frame, seconds; of the file where the rate is not known yet. */
  get seconds(): number {
    return this.times.secondsAt(Math.max(0, this.film.frame));
  }

  toMark(direction: 1 | -1): void {
    this.film.goToNext(
      (this.current?.marks ?? []).map(({ frame }) => frame),
      direction,
    );
  }

  /** To where the next contact is expected, with the other foot chosen. */
  leap(): void {
    const { film } = this;
    const from = film.target;
    const contacts = (this.current?.marks ?? []).filter(({ event }) => event === 'contact');
    // Recorded seconds; before the rate is known the file's own, stretched by what is usual.
    const scale = this.clip ? 1 : film.opened.clip.facts.fpsStored / USUAL_FPS;
    const seconds = (frame: number) => this.times.secondsAt(frame) * scale;
    const wanted = expectedContact(
      contacts.map(({ frame }) => seconds(frame)),
      seconds(from),
    );
    const whole = seconds(film.frames - 1);
    const { times } = film.opened.clip;
    film.goTo(nearestFrame(times, times[times.length - 1]! * Math.min(1, wanted / whole)));
    const last = contacts.findLast(({ frame }) => frame <= from);
    if (last) this.#foot = last.foot === 'left' ? 'right' : 'left';
  }

  chooseFoot(foot: Side): void {
    this.#foot = foot;
  }

  /** Goes on with a runner that was begun, from its first frame. */
  choosePassage(id: string): void {
    const passage = this.passages.find((one) => one.id === id);
    if (!passage) return;
    this.#passage = id;
    this.runner.take(passage);
    this.film.goTo(passage.first);
  }

  /** The next mark begins another runner. */
  newPassage(): void {
    this.runner.clear();
    this.#passage = newId(this.#needs.now(), this.#needs.randomBytes);
  }

  /** Whether an event of the chosen foot may be marked in the shown frame. */
  canMark(event: MarkEvent): boolean {
    return this.film.isSure && this.#canMark({ foot: this.#foot, event, frame: this.film.frame });
  }

  #canMark(mark: { foot: Side; event: MarkEvent; frame: number }): boolean {
    if (!this.clip) return false;
    return mayMark(mark, this.current?.marks ?? [], (frame) => this.times.secondsAt(frame));
  }

  changeSetUp(): void {
    this.#changing = true;
  }
  leaveSetUp(): void {
    [this.#changing, this.#level] = [false, undefined];
    this.placing.stop();
  }

  /** Lets a person draw a line along something level, for the clip's record. */
  drawLevel(): void {
    this.placing.begin(levelTask((level) => (this.#level = level)));
  }

  /**
   * Keeps what was said of the clip. Said anew it is the clip's next record, which every time of its marks follows; the
   * one before is taken back where this device wrote it, so that nobody is asked which of two is right.
   */
  setUp(said: ClipSetUp): Promise<void> {
    return this.#steps.take(() => this.#setUp(said));
  }

  async #setUp(said: ClipSetUp): Promise<void> {
    const before = this.clip;
    const draft = clipDraft(this.film.opened.clip.facts, { ...said, level: this.level });
    if (before && isSameSetUp(before, draft)) return this.leaveSetUp();
    const kept = await this.#keep(draft);
    if (!kept) return;
    if (before?.device === kept.device) await this.#keep({ kind: 'withdrawal', target: before.id });
    this.leaveSetUp();
    this.#foot = said.direction;
    this.#said = before ? 'Clip changed: all its times follow' : 'Clip set up';
  }

  async mark(event: MarkEvent): Promise<void> {
    if (!this.canMark(event)) return;
    // The frame and the foot at the press: the film may move on before its turn comes.
    const mark = { foot: this.#foot, event, frame: this.film.frame };
    await this.#steps.take(() => this.#mark(mark));
  }

  async #mark(mark: { foot: Side; event: MarkEvent; frame: number }): Promise<void> {
    if (!this.#canMark(mark)) return;
    const { times, facts } = this.film.opened.clip;
    const { foot, event, frame } = mark;
    const kept = await this.#keep({
      ...{ kind: 'mark', clip: facts.clip, passage: this.#passage, foot, event, frame },
      atUs: Math.round(times[frame]!),
      gapUs: Math.max(1, Math.round(gapBefore(times, frame))),
    });
    if (kept) this.#said = `${EVENT_WORDS[event]} of the ${foot} foot marked in frame ${frame}`;
  }

  /** Says of the mark in the shown frame that it is hidden or blurred, or no more: a mark in its place, then the old one goes. */
  toggleDoubtful(): Promise<void> {
    const [frame, foot] = [this.film.frame, this.#foot];
    return this.#steps.take(() => this.#toggleDoubtful(frame, foot));
  }

  async #toggleDoubtful(shown: number, side: Side): Promise<void> {
    const here = this.#markAt(shown, side);
    if (!here) return;
    const { clip, passage } = here.record;
    const { foot, event, frame, atUs, gapUs, points } = here.projected;
    const kept = await this.#keep({
      ...{ kind: 'mark', clip, passage, foot, event, frame, atUs, gapUs, ...points },
      ...(here.doubtful ? {} : { doubtful: true }),
    });
    if (!kept || !(await this.#keep({ kind: 'withdrawal', target: here.id }))) return;
    this.#said = `${EVENT_WORDS[event]} in frame ${frame} ${here.doubtful ? 'sure' : 'doubtful'}`;
  }

  #keepPoints({ record }: ProjectedMark, points: Readonly<Record<string, Spot>>): Promise<void> {
    return this.#steps.take(async () => {
      if (await this.#keep({ kind: 'correction', target: record.id, ...points })) this.#said = 'Points kept';
    });
  }

  /** Takes back the mark made last in this passage. */
  undo(): Promise<void> {
    return this.#steps.take(() => this.#undo());
  }

  async #undo(): Promise<void> {
    const marks = this.#view.projection.marks.filter(
      ({ record, withdrawn }) => !withdrawn && record.passage === this.#passage,
    );
    const last = marks.at(-1);
    if (!last) return;
    if (await this.#keep({ kind: 'withdrawal', target: last.record.id })) {
      this.#said = `${EVENT_WORDS[last.event]} in frame ${last.frame} taken back`;
    }
  }

  get canClose(): boolean {
    return this.clip !== undefined && this.runner.hasFeet;
  }

  /** Ends the passage in a sighting; the next mark begins the next runner. A runner closed before is corrected. */
  close(gait: Gait): Promise<void> {
    return this.#steps.take(() => this.#close(gait));
  }

  async #close(gait: Gait): Promise<void> {
    const { clip, current } = this;
    if (!clip || (gait === 'run' && !this.canClose)) return;
    const seen = this.runner.seen(gait);
    // Pressed twice, the second press would else say of nobody that they walk.
    if (gait === 'walk' && seen.bib === null && !current) {
      this.#said = 'Type the bib of who walks';
      return;
    }
    const sighting = current?.sightingId ?? null;
    const kept = await this.#keep(
      sighting === null ? this.#sightingDraft(clip, seen) : { kind: 'correction', target: sighting, ...seen },
    );
    if (!kept) return;
    this.#said = `${seen.bib ?? 'No bib'} ${sighting === null ? 'closed' : 'corrected'}`;
    this.newPassage();
  }

  #sightingDraft(clip: Clip, seen: object): object {
    const { film, times } = this;
    const frame = this.current?.marks.find(({ event }) => event === 'contact')?.frame ?? Math.max(0, film.frame);
    const madeMs = film.opened.clip.facts.createdMs ?? this.#needs.now();
    return clipSightingDraft({ clip, times, passage: this.#passage, frame, madeMs }, seen);
  }

  async #keep(draft: object): Promise<TallyRecord | null> {
    const { db, race, observer, now, randomBytes } = this.#needs;
    const whole = { ...draft, race: race.id, observer } as RecordDraft;
    const outcome = await addRecord(db, whole, { now: now(), randomBytes });
    if (!outcome.ok) {
      this.#fault = storeFailureWords(outcome.error);
      return null;
    }
    this.#fault = '';
    this.#records = [...this.#records, outcome.value];
    this.#flash += 1;
    return outcome.value;
  }
}
