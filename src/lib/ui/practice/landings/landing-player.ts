import { timeInSight, type LandingScene } from '../../../practice/landing-scene.ts';
import { landingView, paintLanding } from '../paint/paint-scene.ts';
import { sceneTones, type SceneTones } from '../paint/runner-tones.ts';
import type { SceneView } from '../paint/scene-view.ts';

/** A frame that took longer than this hides what an eye would have seen, milliseconds. */
export const LONGEST_FRAME_MS = 34;
/** Between these instants from contact every frame counts, milliseconds. */
const WATCHED = { from: -80, to: 100 } as const;
/** How long the mark is shown before the runner comes, milliseconds. */
const MARK_FIRST_MS = 900;
const MOST_PIXELS_A_PIXEL = 2;

export interface Showing {
  /** First contact, by the clock of the page (`performance.now`). */
  readonly oncontact: (at: number) => void;
  /** The instants that count are over; whether a frame among them took too long. */
  readonly onwatched: (isVoid: boolean, frames: readonly number[]) => void;
  readonly onend: () => void;
}

/** Shows landings on a canvas, drawn from the clock and not from a count of frames. */
export class LandingPlayer {
  readonly #canvas: HTMLCanvasElement;
  readonly #pen: CanvasRenderingContext2D;
  #view: SceneView | undefined;
  #tones: SceneTones;
  #scene: LandingScene | undefined;
  /** What stands on the canvas, milliseconds from contact; `null` before the runner comes. */
  #shown: number | null = null;
  #request = 0;
  /** Counts what was begun or stopped: a frame of a showing that is over must not ask for another. */
  #showing = 0;

  constructor(canvas: HTMLCanvasElement) {
    this.#canvas = canvas;
    this.#pen = canvas.getContext('2d', { alpha: false })!;
    this.#tones = sceneTones(canvas);
  }

  /** The theme or the size of the canvas changed. */
  refresh(): void {
    this.#tones = sceneTones(this.#canvas);
    this.#view = undefined;
    this.#paint();
  }

  /** Shows a landing once at its rate: the mark, then the runner. */
  show(scene: LandingScene, { oncontact, onwatched, onend }: Showing): void {
    this.stop();
    const showing = this.#showing;
    this.#scene = scene;
    this.#shown = null;
    this.#paint();
    const { rate } = scene.landing;
    const { from, to } = timeInSight(scene.landing, this.#halfWidth());
    const frames: number[] = [];
    let begun: number | undefined;
    let before: number | undefined;
    let touched = false;
    let watched = false;
    const frame = (now: number): void => {
      begun ??= now + MARK_FIRST_MS;
      const t = from + (now - begun) * rate;
      if (before !== undefined && inWatch(from + (before - begun) * rate, t)) frames.push(now - before);
      before = now;
      this.#shown = now < begun ? null : t;
      this.#paint();
      if (!touched && t >= 0) {
        touched = true;
        oncontact(begun - from / rate);
      }
      if (!watched && t > WATCHED.to) {
        watched = true;
        onwatched(
          frames.some((ms) => ms > LONGEST_FRAME_MS),
          frames,
        );
      }
      // A void landing has begun the next one meanwhile.
      if (showing !== this.#showing) return;
      if (t < to) this.#request = requestAnimationFrame(frame);
      else {
        // Others about may not have left yet: an empty road says that there is no more to see.
        this.#shown = null;
        this.#paint();
        onend();
      }
    };
    this.#request = requestAnimationFrame(frame);
  }

  /** Shows one instant, standing. */
  hold(scene: LandingScene, t: number): void {
    this.stop();
    this.#scene = scene;
    this.#shown = t;
    this.#paint();
  }

  /** How long a frame takes here, milliseconds: the median of some that are painted as a landing is. */
  async frameTime(scene: LandingScene, count = 24): Promise<number> {
    this.stop();
    this.#scene = scene;
    this.#shown = null;
    const stamps: number[] = [];
    await new Promise<void>((done) => {
      const frame = (now: number): void => {
        this.#paint();
        stamps.push(now);
        if (stamps.length <= count) this.#request = requestAnimationFrame(frame);
        else done();
      };
      this.#request = requestAnimationFrame(frame);
    });
    const gaps = stamps.slice(1).map((stamp, i) => stamp - stamps[i]!);
    return gaps.sort((a, b) => a - b)[Math.floor(gaps.length / 2)]!;
  }

  stop(): void {
    this.#showing += 1;
    cancelAnimationFrame(this.#request);
  }

  #halfWidth(): number {
    return this.#measured().width / 2 / this.#measured().scale;
  }

  /** The canvas as large as it stands on the page, sharp on a fine screen. */
  #measured(): SceneView {
    if (this.#view && this.#view.way === this.#way()) return this.#view;
    const { clientWidth, clientHeight } = this.#canvas;
    const fine = Math.min(MOST_PIXELS_A_PIXEL, window.devicePixelRatio || 1);
    if (!this.#view) {
      this.#canvas.width = Math.max(1, Math.round(clientWidth * fine));
      this.#canvas.height = Math.max(1, Math.round(clientHeight * fine));
      this.#pen.setTransform(fine, 0, 0, fine, 0, 0);
    }
    this.#view = landingView(clientWidth, clientHeight, this.#scene?.landing.direction ?? 'right');
    return this.#view;
  }

  #way(): 1 | -1 {
    return this.#scene?.landing.direction === 'left' ? -1 : 1;
  }

  #paint(): void {
    if (this.#scene) paintLanding(this.#pen, this.#scene, this.#measured(), this.#tones, this.#shown);
  }
}

const inWatch = (from: number, to: number): boolean => from < WATCHED.to && to > WATCHED.from;
