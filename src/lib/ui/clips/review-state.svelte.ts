import { angleClass } from '$lib/clips/angles.ts';
import { gapBefore, recordedSeconds } from '$lib/clips/frame-times.ts';
import { passagesOfRace } from '$lib/clips/passages-of-race.ts';
import { readPassage } from '$lib/clips/read-passage.ts';
import { cadenceOf, stepFigures } from '$lib/clips/step-figures.ts';
import type { Race } from '$lib/race/race.ts';
import type { Foot, Gait } from '$lib/records/foot.ts';
import type { MarkEvent, PointName, RateSource, Side } from '$lib/records/mark-words.ts';
import { newId, type RandomBytes } from '$lib/records/new-id.ts';
import type { Clip, TallyRecord } from '$lib/records/record.ts';
import { viewOfRace } from '$lib/sightings/race-view.ts';
import { addRecord, type RecordDraft } from '$lib/store/add-record.ts';
import type { KerbsideDatabase } from '$lib/store/database.ts';
import { storeFailureText } from '$lib/store/store-failure.ts';
import { utcInstant } from '$lib/records/instant.ts';
import { recordsOfClip } from './records-of-clip.ts';
import type { OpenedFrames } from './frames/open-frames.ts';
import type { ShownFrame } from './frames/frame-source.ts';

/** What a person says of a clip before its first mark. */
export interface ClipSetUp {
  readonly checkpoint: string;
  readonly fpsRecorded: number;
  readonly fpsFrom: RateSource;
  readonly direction: Side;
  readonly mirrored: boolean;
  readonly lensOff: number;
  readonly slateFrame?: number;
  /** RFC 3339 in UTC. */
  readonly slateAt?: string;
}

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

/** One passage as the screen lists it. */
export interface PassageView {
  readonly id: string;
  readonly bib: string | null;
  readonly closed: boolean;
  readonly first: number;
  readonly last: number;
  readonly marks: readonly {
    readonly id: string;
    readonly foot: Side;
    readonly event: MarkEvent;
    readonly frame: number;
  }[];
}

/** Figures of the passage in work, as lines to read. */
export interface FigureLine {
  readonly title: string;
  readonly detail: string;
}

const POINTS: Readonly<Record<MarkEvent, readonly PointName[]>> = {
  contact: ['heel', 'toe', 'knee', 'ankle'],
  flat: ['heel', 'toe'],
  toeoff: [],
};
/** Steps a minute that the first leap reckons with, before any step is marked (common practice, no source). */
const USUAL_CADENCE = 165;

/** The review of one clip: where the picture stands, the passages through it and their marks. */
export class ReviewState {
  readonly opened: OpenedFrames;
  readonly #needs: ReviewNeeds;
  #records = $state.raw<readonly TallyRecord[]>([]);
  #target = $state(0);
  #shown = $state(-1);
  #exact = $state(true);
  #passage = $state('');
  #foot = $state<Side>('right');
  #bib = $state('');
  #left = $state<Foot | undefined>();
  #right = $state<Foot | undefined>();
  #fault = $state('');
  #said = $state('');
  #flash = $state(0);
  #aim = $state.raw<
    { mark: string; names: readonly PointName[]; placed: readonly (readonly [number, number])[] } | undefined
  >();
  #draw: (frame: ShownFrame) => void = () => {};
  #following = false;
  #direction: 1 | -1 = 1;

  constructor(needs: ReviewNeeds) {
    this.#needs = needs;
    this.opened = needs.opened;
    this.#records = recordsOfClip(needs.records, needs.opened.clip.facts.clip, needs.observer);
    this.#passage = newId(needs.now(), needs.randomBytes);
  }

  readonly #view = $derived.by(() => viewOfRace(this.#needs.race, this.#records));
  readonly #passages = $derived.by(() => passagesOfRace(this.#view).passages);
  /** What stands of this file, if it has been set up. */
  readonly clip = $derived<Clip | undefined>(this.#view.projection.clips.findLast(({ stands }) => stands)?.record);
  readonly passages = $derived.by<readonly PassageView[]>(() =>
    this.#passages.map(({ passage }) => ({
      id: passage.id,
      bib: passage.bib,
      closed: passage.sightingId !== null,
      first: Math.min(...passage.marks.map(({ frame }) => frame)),
      last: Math.max(...passage.marks.map(({ frame }) => frame)),
      marks: passage.marks
        .map(({ id, foot, event, frame }) => ({ id, foot, event, frame }))
        .toSorted((a, b) => a.frame - b.frame),
    })),
  );
  readonly current = $derived(this.passages.find(({ id }) => id === this.#passage));
  readonly figures = $derived.by<readonly FigureLine[]>(() => this.#figures());
  readonly points = $derived.by(() => this.#pointsHere());

  get frame(): number {
    return this.#shown;
  }
  get frames(): number {
    return this.opened.clip.facts.frames;
  }
  /** A frame that is not certainly the one asked for takes no mark. */
  get exact(): boolean {
    return this.#exact;
  }
  get foot(): Side {
    return this.#foot;
  }
  get bib(): string {
    return this.#bib;
  }
  get left(): Foot | undefined {
    return this.#left;
  }
  get right(): Foot | undefined {
    return this.#right;
  }
  get fault(): string {
    return this.#fault;
  }
  /** What was done last, for a screen reader and the line under the picture. */
  get said(): string {
    return this.#said;
  }
  /** Grows with each record that is kept. */
  get flash(): number {
    return this.#flash;
  }
  /** The point that is to be placed next, if points are being placed. */
  get aim(): PointName | undefined {
    return this.#aim?.names[this.#aim.placed.length];
  }
  /** Recorded time of the shown frame, seconds; of the file where the rate is not known yet. */
  get seconds(): number {
    const at = this.opened.clip.times[Math.max(0, this.#shown)]!;
    return this.clip ? recordedSeconds(this.clip, Math.max(0, this.#shown), at) : at / 1e6;
  }

  start(draw: (frame: ShownFrame) => void): () => void {
    this.#draw = draw;
    void this.#follow();
    return () => {
      this.opened.frames.close();
      this.opened.clip.close();
    };
  }

  step(frames: number): void {
    this.goTo(this.#target + frames);
  }

  /** For a key that is held: the next frame only once the last one is shown, so that it stops when the key is let go. */
  stepWhenShown(frames: number): void {
    if (this.#shown === this.#target) this.step(frames);
  }

  goTo(frame: number): void {
    const target = Math.min(this.frames - 1, Math.max(0, Math.round(frame)));
    this.#direction = target < this.#target ? -1 : 1;
    this.#target = target;
    void this.#follow();
  }

  toMark(direction: 1 | -1): void {
    const frames = (this.current?.marks ?? []).map(({ frame }) => frame);
    const next =
      direction > 0 ? frames.find((frame) => frame > this.#target) : frames.findLast((frame) => frame < this.#target);
    if (next !== undefined) this.goTo(next);
  }

  /** To the next or the previous runner that was begun. */
  toPassage(direction: 1 | -1): void {
    const firsts = this.passages.map(({ first }) => first).toSorted((a, b) => a - b);
    const next =
      direction > 0 ? firsts.find((frame) => frame > this.#target) : firsts.findLast((frame) => frame < this.#target);
    if (next !== undefined) this.goTo(next);
  }

  /** To where the next contact is expected: the last contact and the median step time of this runner. */
  leap(): void {
    const fps = this.clip ? (this.clip.fpsRecorded * this.opened.clip.facts.fpsStored) / this.clip.fpsStored : 240;
    const contacts = (this.current?.marks ?? []).filter(({ event }) => event === 'contact').map(({ frame }) => frame);
    const gaps = contacts
      .slice(1)
      .map((frame, i) => frame - contacts[i]!)
      .toSorted((a, b) => a - b);
    const step = gaps.length > 0 ? gaps[gaps.length >> 1]! : Math.round((fps * 60) / USUAL_CADENCE);
    const from = contacts.findLast((frame) => frame <= this.#target) ?? this.#target;
    this.goTo(from + step);
    const last = this.current?.marks.findLast(({ event, frame }) => event === 'contact' && frame <= from);
    if (last) this.#foot = last.foot === 'left' ? 'right' : 'left';
  }

  chooseFoot(foot: Side): void {
    this.#foot = foot;
  }

  type(character: string): void {
    this.#bib = `${this.#bib}${character}`.slice(0, 16);
  }
  erase(): void {
    this.#bib = this.#bib.slice(0, -1);
  }
  setBib(bib: string): void {
    this.#bib = bib.trim().slice(0, 16);
  }

  chooseFeet(feet: 'left' | 'right' | 'both', foot: Foot): void {
    if (feet !== 'right') this.#left = foot;
    if (feet !== 'left') this.#right = foot;
  }

  /** Whether an event of the chosen foot may be marked in the shown frame. */
  canMark(event: MarkEvent): boolean {
    if (!this.clip || !this.#exact || this.#shown < 0 || this.#shown !== this.#target) return false;
    const own = (this.current?.marks ?? []).filter(({ foot, event: one }) => foot === this.#foot && one !== 'flat');
    if (event === 'contact') return !own.some(({ event: one, frame }) => one === 'contact' && frame === this.#shown);
    const before = own.findLast(({ frame }) => frame <= this.#shown);
    return before?.event === 'contact' && (event === 'flat' || before.frame < this.#shown);
  }

  async setUp(said: ClipSetUp): Promise<void> {
    const { clip, bytes, frames, fpsStored, timing, width, height, rotation, codec } = this.opened.clip.facts;
    const { mirrored, lensOff, slateFrame, slateAt, ...rest } = said;
    const kept = await this.#keep({
      ...{ kind: 'clip', clip, bytes, frames, fpsStored, timing, width, height, rotation, codec },
      ...rest,
      ...(mirrored ? { mirrored } : {}),
      ...(lensOff > 0 ? { lensOff } : {}),
      ...(slateFrame === undefined || slateAt === undefined ? {} : { slateFrame, slateAt }),
    });
    if (!kept) return;
    this.#foot = said.direction;
    this.#said = 'Clip set up';
  }

  async mark(event: MarkEvent): Promise<void> {
    if (!this.canMark(event)) return;
    const { times, facts } = this.opened.clip;
    const frame = this.#shown;
    const kept = await this.#keep({
      ...{ kind: 'mark', clip: facts.clip, passage: this.#passage, foot: this.#foot, event, frame },
      atUs: Math.round(times[frame]!),
      gapUs: Math.max(1, Math.round(gapBefore(times, frame))),
    });
    if (kept) this.#said = `${EVENT_WORDS[event]} of the ${this.#foot} foot marked in frame ${frame}`;
  }

  /** Begins to place the points of the mark of the chosen foot in the shown frame. */
  placePoints(): void {
    const here = this.#markHere();
    if (here) this.#aim = { mark: here.id, names: POINTS[here.event], placed: [] };
  }
  get canPlace(): boolean {
    return this.#markHere() !== undefined;
  }
  stopPlacing(): void {
    this.#aim = undefined;
  }

  #markHere() {
    const marks = this.current?.marks.filter(({ frame, foot }) => frame === this.#shown && foot === this.#foot) ?? [];
    return marks.find(({ event }) => POINTS[event].length > 0);
  }

  /** A point in display pixels. With the last one all are kept. */
  async place(x: number, y: number): Promise<void> {
    const aim = this.#aim;
    const { width, height } = this.opened.clip.facts;
    if (!aim) return;
    const tenth = (value: number, most: number) => Math.round(Math.min(most, Math.max(0, value)) * 10) / 10;
    const placed = [...aim.placed, [tenth(x, width), tenth(y, height)] as const];
    this.#aim = { ...aim, placed };
    if (placed.length < aim.names.length) return;
    await this.keepPoints();
  }

  /** Keeps the points that are placed; pairs that are not whole are left out. */
  async keepPoints(): Promise<void> {
    const aim = this.#aim;
    this.#aim = undefined;
    if (!aim || aim.placed.length < 2) return;
    const whole = aim.placed.length < aim.names.length ? 2 : aim.names.length;
    const points = Object.fromEntries(aim.names.slice(0, whole).map((name, i) => [name, [...aim.placed[i]!]]));
    const kept = await this.#keep({ kind: 'correction', target: aim.mark, ...points } as RecordDraft);
    if (kept) this.#said = 'Points kept';
  }

  /** Takes back the mark made last in this passage. */
  async undo(): Promise<void> {
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
    return this.clip !== undefined && this.#left !== undefined && this.#right !== undefined;
  }

  /** Ends the passage in a sighting; the next mark begins the next runner. */
  async close(gait: Gait): Promise<void> {
    const { clip } = this;
    if (!clip || (gait === 'run' && !this.canClose)) return;
    const frame = this.current?.marks.find(({ event }) => event === 'contact')?.frame ?? this.#shown;
    const { at, clockSet } = this.#observedAt(frame, clip);
    const kept = await this.#keep({
      ...{ kind: 'sighting', checkpoint: clip.checkpoint, bib: this.#bib === '' ? null : this.#bib, method: 'clip' },
      ...(gait === 'walk'
        ? { gait, left: 'unseen' as const, right: 'unseen' as const }
        : { left: this.#left!, right: this.#right! }),
      ...{ observedAt: utcInstant(at), clip: clip.clip, passage: this.#passage, frame },
      ...(clockSet ? {} : { note: 'clock not set' }),
    });
    if (!kept) return;
    this.#said = `${this.#bib || 'No bib'} closed`;
    [this.#bib, this.#left, this.#right] = ['', undefined, undefined];
    this.#passage = newId(this.#needs.now(), this.#needs.randomBytes);
  }

  #observedAt(frame: number, clip: Clip): { at: number; clockSet: boolean } {
    const { times, facts } = this.opened.clip;
    const at = (one: number) => recordedSeconds(clip, one, times[one]!) * 1000;
    if (clip.slateAt !== undefined && clip.slateFrame !== undefined) {
      return { at: Date.parse(clip.slateAt) + at(frame) - at(clip.slateFrame), clockSet: true };
    }
    return { at: (facts.createdMs ?? this.#needs.now()) + at(frame), clockSet: false };
  }

  async #keep(draft: object): Promise<boolean> {
    const { db, race, observer, now, randomBytes } = this.#needs;
    const whole = { ...draft, race: race.id, observer } as RecordDraft;
    const outcome = await addRecord(db, whole, { now: now(), randomBytes });
    if (!outcome.ok) {
      this.#fault = storeFailureText(outcome.error);
      return false;
    }
    this.#fault = '';
    this.#records = [...this.#records, outcome.value];
    this.#flash += 1;
    return true;
  }

  async #follow(): Promise<void> {
    if (this.#following) return;
    this.#following = true;
    try {
      while (this.#shown !== this.#target) {
        const shown = await this.opened.frames.show(this.#target);
        // Only a source that is closed has nothing to show here.
        if (!shown) return;
        this.#draw(shown);
        this.#exact = shown.exact;
        this.#shown = shown.frame;
        this.#aim = undefined;
      }
      this.opened.frames.readAhead(this.#shown, this.#direction);
    } catch (error) {
      this.#fault = `This frame cannot be shown: ${error instanceof Error ? error.message : String(error)}`;
      this.#target = Math.max(0, this.#shown);
    } finally {
      this.#following = false;
    }
  }

  #pointsHere(): readonly { readonly name: PointName; readonly x: number; readonly y: number }[] {
    const aim = this.#aim;
    if (aim) return aim.placed.map(([x, y], i) => ({ name: aim.names[i]!, x, y }));
    const own = this.#passages.find(({ passage }) => passage.id === this.#passage)?.passage.marks ?? [];
    const here = own.filter(({ frame, foot }) => frame === this.#shown && foot === this.#foot);
    return here.flatMap(({ points }) =>
      Object.entries(points).map(([name, { x, y }]) => ({ name: name as PointName, x: x / 10, y: y / 10 })),
    );
  }

  #figures(): FigureLine[] {
    const passage = this.#passages.find((one) => one.passage.id === this.#passage)?.passage;
    if (!passage) return [];
    const reading = readPassage(passage.marks);
    const cadence = cadenceOf(passage, reading);
    const lines = reading.steps.map((step): FigureLine => {
      const on = reading.marks[step.contact]!;
      const off = reading.marks[step.toeoff]!;
      const { contact, strikeAngle, shankAngle } = stepFigures(passage, reading, step);
      const sd = strikeAngle ? Math.sqrt(strikeAngle.pointVariance) : 0;
      const side = on.foot === passage.nearFoot ? 'near' : 'far';
      return {
        title: `${on.foot} foot, ${side} · contact ${contact ? `${contact.value.toFixed(3)} s (${(contact.value - off.gapSeconds).toFixed(3)} to ${(contact.value + on.gapSeconds).toFixed(3)})` : 'not timed at this rate'}`,
        detail: [
          ...(strikeAngle
            ? [
                `strike ${strikeAngle.value.toFixed(1)}° ± ${sd.toFixed(1)}, by angle ${angleClass({ degrees: strikeAngle.value, variance: strikeAngle.pointVariance })}`,
              ]
            : []),
          ...(shankAngle
            ? [`shank ${Math.abs(shankAngle.value).toFixed(1)}° ${shankAngle.value >= 0 ? 'ahead' : 'behind'}`]
            : []),
        ].join(' · '),
      };
    });
    return cadence ? [...lines, { title: `${cadence.value.toFixed(0)} steps a minute`, detail: '' }] : lines;
  }
}

export const EVENT_WORDS: Readonly<Record<MarkEvent, string>> = { contact: 'Contact', toeoff: 'Toe-off', flat: 'Flat' };
