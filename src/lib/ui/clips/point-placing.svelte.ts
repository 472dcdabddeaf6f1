/** A place in the picture: display pixels, x right, y down. */
export type Spot = readonly [x: number, y: number];

/** Points that a person sets in the picture, one after the other or one of them anew. */
export interface PlacingTask {
  readonly names: readonly string[];
  /** How many of the first names are worth keeping; in between what is not whole is left out. */
  readonly wholeAt: readonly number[];
  /** Where points stand already. */
  readonly known?: Readonly<Record<string, Spot>>;
  keep(points: Readonly<Record<string, Spot>>): Promise<void>;
}

/** Points are written in tenths of a pixel. */
const TENTHS = 10;

/** Sets points: by a tap each, by dragging one that stands, or by arrow keys. */
export class PointPlacing {
  readonly #width: number;
  readonly #height: number;
  #task = $state.raw<PlacingTask | undefined>();
  #placed = $state.raw<Readonly<Record<string, Spot>>>({});
  #next = $state.raw<string | undefined>();
  /** Where the cross stands while arrow keys or a finger move it. */
  #cross = $state.raw<Spot | undefined>();

  constructor(size: { readonly width: number; readonly height: number }) {
    this.#width = size.width;
    this.#height = size.height;
  }

  /** The point that is set next; `undefined` when none is. */
  get next(): string | undefined {
    return this.#next;
  }
  get placed(): Readonly<Record<string, Spot>> {
    return this.#placed;
  }
  get cross(): Spot | undefined {
    return this.#next === undefined ? undefined : this.#cross;
  }
  get isPlacing(): boolean {
    return this.#task !== undefined;
  }

  /** Begins with the first point that is not there yet. */
  begin(task: PlacingTask): void {
    this.#task = task;
    this.#placed = { ...task.known };
    this.#aimAt(task.names.find((name) => !(name in this.#placed)));
  }

  /** Begins with one point that stands, to be set anew. */
  move(task: PlacingTask, name: string): void {
    this.#task = task;
    this.#placed = { ...task.known };
    this.#aimAt(name);
  }

  stop(): void {
    this.#task = undefined;
    this.#placed = {};
    this.#aimAt(undefined);
  }

  /** Moves the cross there, without setting the point. */
  look([x, y]: Spot): void {
    const within = (value: number, most: number) => Math.min(most, Math.max(0, value));
    this.#cross = [within(x, this.#width), within(y, this.#height)];
  }

  nudge(dx: number, dy: number): void {
    const [x, y] = this.#cross ?? [this.#width / 2, this.#height / 2];
    this.look([x + dx, y + dy]);
  }

  /** Sets the point where the cross is; with the last one all are kept. */
  async put(): Promise<void> {
    const [task, name, cross] = [this.#task, this.#next, this.#cross];
    if (!task || name === undefined || !cross) return;
    const tenth = (value: number) => Math.round(value * TENTHS) / TENTHS;
    this.#placed = { ...this.#placed, [name]: [tenth(cross[0]), tenth(cross[1])] };
    const rest = task.names.find((one) => !(one in this.#placed));
    if (rest === undefined) await this.keep();
    else this.#aimAt(rest);
  }

  /** Keeps the points that are set; pairs that are not whole are left out. */
  async keep(): Promise<void> {
    const [task, placed] = [this.#task, this.#placed];
    this.stop();
    if (!task) return;
    const first = task.names.findIndex((name) => !(name in placed));
    const set = first < 0 ? task.names.length : first;
    const whole = Math.max(0, ...task.wholeAt.filter((count) => count <= set));
    const points = Object.fromEntries(task.names.slice(0, whole).map((name) => [name, placed[name]!]));
    if (whole > 0) await task.keep(points);
  }

  #aimAt(name: string | undefined): void {
    this.#next = name;
    this.#cross = name === undefined ? undefined : this.#placed[name];
  }
}
