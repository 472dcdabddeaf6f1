import type { Passing } from '../../../practice/rehearsal-script.ts';
import { crowdRunner, crowdView, inSight, paintCrowd, type CrowdRunner } from '../paint/paint-crowd.ts';
import { sceneTones, type SceneTones } from '../paint/runner-tones.ts';
import type { SceneView } from '../paint/scene-view.ts';

const MOST_PIXELS_A_PIXEL = 2;

/** Lets a crowd pass on a canvas, drawn from the clock. */
export class CrowdPlayer {
  readonly #canvas: HTMLCanvasElement;
  readonly #pen: CanvasRenderingContext2D;
  readonly #runners: readonly CrowdRunner[];
  readonly #end: number;
  #view!: SceneView;
  #tones!: SceneTones;
  #request = 0;

  constructor(canvas: HTMLCanvasElement, script: readonly Passing[]) {
    this.#canvas = canvas;
    this.#pen = canvas.getContext('2d', { alpha: false })!;
    this.#runners = script.map(crowdRunner).sort((a, b) => a.depth - b.depth);
    this.refresh();
    this.#end = Math.max(0, ...this.#runners.map((one) => one.passing.atMs + inSight(one, this.#view).to));
  }

  /** The theme or the size of the canvas changed. */
  refresh(): void {
    const { clientWidth, clientHeight } = this.#canvas;
    const fine = Math.min(MOST_PIXELS_A_PIXEL, window.devicePixelRatio || 1);
    this.#canvas.width = Math.max(1, Math.round(clientWidth * fine));
    this.#canvas.height = Math.max(1, Math.round(clientHeight * fine));
    this.#pen.setTransform(fine, 0, 0, fine, 0, 0);
    this.#view = crowdView(clientWidth, clientHeight);
    this.#tones = sceneTones(this.#canvas);
  }

  /**
   * Begins now.
   *
   * @param clock milliseconds since 1970, so that taps and runners are told by one clock
   * @param startedAt when the rehearsal began by that clock
   */
  play(clock: () => number, startedAt: number, onend: () => void): void {
    const frame = (): void => {
      const now = clock() - startedAt;
      const inView = this.#runners.filter((one) => {
        const { from, to } = inSight(one, this.#view);
        const since = now - one.passing.atMs;
        return since >= from && since <= to;
      });
      paintCrowd(this.#pen, inView, this.#view, this.#tones, now);
      if (now > this.#end) onend();
      else this.#request = requestAnimationFrame(frame);
    };
    frame();
  }

  stop(): void {
    cancelAnimationFrame(this.#request);
  }
}
