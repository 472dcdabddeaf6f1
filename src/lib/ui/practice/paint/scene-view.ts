import type { Point } from '../../../practice/foot-on-road.ts';

/** CSS pixels to the metre, at the near foot. */
export const PIXELS_PER_METRE = 300;
/** The lens stands this high over the road, metres: what is farther off comes nearer to this height. */
const LENS = 0.4;

/** How large things are beside the near foot. */
export const DEPTH = { before: 1.14, near: 1, far: 0.92, behind: 0.82 } as const;

/** From metres of road to pixels of the canvas. */
export interface SceneView {
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
  /** Where the middle of the view is on the road, metres. */
  readonly middle: number;
  /** The near foot's road, pixels from above. */
  readonly road: number;
  /** 1 where runners go to the right, −1 to the left. */
  readonly way: 1 | -1;
  readonly scale: number;
}

export function toPixels(view: SceneView, { x, y }: Point, depth: number): Point {
  return {
    x: view.width / 2 + view.way * (x - view.middle) * depth * view.scale,
    y: view.road - (LENS + (y - LENS) * depth) * view.scale,
  };
}

/** The road at a depth, pixels from above. */
export const roadAt = (view: SceneView, depth: number): number => toPixels(view, { x: 0, y: 0 }, depth).y;
