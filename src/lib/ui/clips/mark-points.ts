import type { MarkEvent, PointName } from '$lib/records/mark-words.ts';
import type { ProjectedMark } from '$lib/records/project-marks.ts';
import type { MarkView } from './passage-view.ts';
import type { PlacingTask, PointPlacing, Spot } from './point-placing.svelte.ts';

const POINTS: Readonly<Record<MarkEvent, readonly PointName[]>> = {
  contact: ['heel', 'toe', 'knee', 'ankle'],
  flat: ['heel', 'toe'],
  toeoff: [],
};

export interface MarkPointsNeeds {
  readonly placing: PointPlacing;
  /** The mark of the chosen foot in the shown frame. */
  mark(): MarkView | undefined;
  /** Keeps all points of a mark that stand from now on. */
  keep(mark: ProjectedMark, points: Readonly<Record<string, Spot>>): Promise<void>;
}

/** The points of the mark in the shown frame, and placing them. */
export class MarkPoints {
  readonly #needs: MarkPointsNeeds;

  constructor(needs: MarkPointsNeeds) {
    this.#needs = needs;
  }

  /** Points by name, as they are being placed or stand. */
  get here(): Readonly<Record<string, Spot>> {
    const { placing, mark } = this.#needs;
    return placing.isPlacing ? placing.placed : ((mark()?.points ?? {}) as Record<string, Spot>);
  }
  get canPlace(): boolean {
    const mark = this.#needs.mark();
    return mark !== undefined && POINTS[mark.event].length > 0;
  }
  /** The point that touches first needs the shoe. */
  get canTouch(): boolean {
    const mark = this.#needs.mark();
    return mark?.event === 'contact' && mark.points.heel !== undefined;
  }

  /** Begins to place the points of the mark of the chosen foot in the shown frame. */
  place(): void {
    const mark = this.#needs.mark();
    if (mark && this.canPlace) this.#needs.placing.begin({ ...this.#task(mark.projected), known: {} });
  }

  placeTouch(): void {
    const mark = this.#needs.mark();
    if (!mark || !this.canTouch) return;
    this.#needs.placing.move({ ...this.#task(mark.projected, ['touch']), known: {} }, 'touch');
  }

  /** Takes hold of a point that stands. */
  move(name: string): void {
    const mark = this.#needs.mark();
    if (!mark || !(name in mark.points)) return;
    const names = Object.keys(mark.points) as PointName[];
    this.#needs.placing.move(this.#task(mark.projected, names), name);
  }

  #task(mark: ProjectedMark, names = POINTS[mark.event]): PlacingTask {
    return {
      names,
      wholeAt: names.length === 1 ? [1] : names.length === POINTS[mark.event].length ? [2, 4] : [names.length],
      known: mark.points,
      // Pairs come together, and the touch with the shoe: a correction says all that stand.
      keep: (placed) => this.#needs.keep(mark, { ...mark.points, ...placed }),
    };
  }
}
