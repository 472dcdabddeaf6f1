import type { Point } from '../../../practice/foot-on-road.ts';
import type { Passing } from '../../../practice/rehearsal-script.ts';
import { runnerBody, runnerFigure, type RunnerBody, type RunnerFigure } from '../../../practice/runner-figure.ts';
import { paintLeg, type Placed } from './paint-runner.ts';
import type { SceneTones } from './runner-tones.ts';
import { roadAt, toPixels, type SceneView } from './scene-view.ts';

type Pen = CanvasRenderingContext2D;

/** A runner of the crowd with all that does not change from frame to frame. */
export interface CrowdRunner {
  readonly passing: Passing;
  /** Of the near foot and of the far one: they may land differently, and hip and knees are the same for both. */
  readonly near: RunnerBody;
  readonly far: RunnerBody;
  /** Where in the stride the runner passes, milliseconds. */
  readonly phase: number;
  readonly depth: number;
  readonly singlet: string;
}

/** Which foot is nearer: runners of a rehearsal go to the right. */
export const NEAR_FOOT = 'right';

/** The band above, in which runners are seen coming, pixels. */
const COMING_BAND = 62;
/** Left free beside it for a key, pixels. */
const COMING_SIDE = 120;
const COMING_MS = 9000;
const DEEPEST = 0.82;
/** The tallest runner, metres, and how much road is in view at least. */
const RUNNER_HEIGHT = 1.86;
const LEAST_ROAD = 3;
const BIB = { width: 0.34, height: 0.2 } as const;
const SINGLETS = ['#2f6f7e', '#8c4a2f', '#5b4b8a', '#4d6b2f', '#7d3b5e', '#3a5a94'] as const;

export function crowdRunner(passing: Passing): CrowdRunner {
  const { speed, contactMs, cadence, shank, seed, lane } = passing;
  const motion = { speed, contactMs, cadence, shank, clutterSeed: seed };
  return {
    passing,
    near: runnerBody({ ...motion, angle: passing[`${NEAR_FOOT}Angle`] }),
    far: runnerBody({ ...motion, angle: passing.leftAngle }),
    phase: seed % 700,
    depth: DEEPEST + (1 - DEEPEST) * lane,
    singlet: SINGLETS[seed % SINGLETS.length]!,
  };
}

/** The view of a crowd: whole runners, as large as the canvas allows. */
export function crowdView(width: number, height: number): SceneView {
  const below = 14;
  const scale = Math.max(1, Math.min((height - COMING_BAND - below) / RUNNER_HEIGHT, width / LEAST_ROAD));
  return { width, height, middle: 0, road: height - below, way: 1, scale };
}

/** From how long before to how long after passing a runner is to be painted, milliseconds. */
export function inSight({ passing }: CrowdRunner, view: SceneView): { from: number; to: number } {
  const half = view.width / 2 / view.scale / DEEPEST + 0.9;
  const ms = (1000 * half) / passing.speed;
  return { from: Math.min(-ms, -COMING_MS), to: ms };
}

/** Paints the crowd as it is `nowMs` after the beginning; `crowd` from the farthest lane to the nearest. */
export function paintCrowd(
  pen: Pen,
  crowd: readonly CrowdRunner[],
  view: SceneView,
  tones: SceneTones,
  nowMs: number,
): void {
  paintGround(pen, view, tones);
  for (const runner of crowd) paintRunner(pen, runner, view, tones, nowMs - runner.passing.atMs);
  for (const runner of crowd) paintComing(pen, runner, view, tones, nowMs - runner.passing.atMs);
}

function paintGround(pen: Pen, view: SceneView, tones: SceneTones): void {
  const { width, height } = view;
  pen.fillStyle = tones.sky;
  pen.fillRect(0, 0, width, height);
  pen.fillStyle = tones.verge;
  pen.fillRect(0, 0, width, COMING_BAND);
  const top = roadAt(view, DEEPEST * 0.9);
  pen.fillStyle = tones.road;
  pen.fillRect(0, top, width, height - top);
  pen.fillStyle = tones.edge;
  pen.fillRect(0, COMING_BAND - 1, width, 1);
}

function paintRunner(pen: Pen, runner: CrowdRunner, view: SceneView, tones: SceneTones, since: number): void {
  const { from, to } = sideView(runner, view);
  if (since < from || since > to) return;
  const t = since + runner.phase;
  const near = runnerFigure(runner.near, t);
  const far = runnerFigure(runner.far, t);
  const { speed } = runner.passing;
  const at: Placed = { view, depth: runner.depth, ahead: (speed * since) / 1000 - near.hip.x };
  paintArm(pen, near, t, runner.near, -1, tones.far.limb, at);
  paintLeg(pen, far.other, near.hip, tones.far, { ...at, depth: runner.depth * 0.97 });
  paintLeg(pen, near.marked, near.hip, tones.near, at);
  paintBody(pen, near, runner, tones, at);
  paintArm(pen, near, t, runner.near, 1, tones.near.limb, at);
  // A bib is read from ahead as well, where no arm hides it.
  paintBib(
    pen,
    runner.passing.bib,
    place(at, { x: near.hip.x + 0.05, y: near.hip.y + 0.26 }),
    runner.depth * view.scale,
  );
}

function sideView({ passing }: CrowdRunner, view: SceneView): { from: number; to: number } {
  const ms = (1000 * (view.width / 2 / view.scale / DEEPEST + 0.9)) / passing.speed;
  return { from: -ms, to: ms };
}

const place = (at: Placed, { x, y }: Point): Point => toPixels(at.view, { x: x + at.ahead, y }, at.depth);

/** Shorts, singlet with the bib, neck and head, leaning forward a little. */
function paintBody(pen: Pen, { hip }: RunnerFigure, runner: CrowdRunner, tones: SceneTones, at: Placed): void {
  const scale = at.depth * at.view.scale;
  const shoulder = { x: hip.x + 0.07, y: hip.y + 0.5 };
  stroke(
    pen,
    [place(at, { x: hip.x, y: hip.y - 0.06 }), place(at, { x: hip.x, y: hip.y + 0.06 })],
    0.24 * scale,
    tones.shorts,
  );
  stroke(pen, [place(at, { x: hip.x, y: hip.y + 0.1 }), place(at, shoulder)], 0.23 * scale, runner.singlet);
  const head = place(at, { x: hip.x + 0.13, y: hip.y + 0.72 });
  stroke(pen, [place(at, shoulder), head], 0.09 * scale, tones.near.limb);
  pen.fillStyle = tones.near.limb;
  pen.beginPath();
  pen.arc(head.x, head.y, 0.105 * scale, 0, 2 * Math.PI);
  pen.fill();
}

function paintBib(pen: Pen, bib: string, { x, y }: Point, scale: number): void {
  const width = Math.max(BIB.width * scale, 30);
  const height = Math.max(BIB.height * scale, 17);
  pen.fillStyle = '#ffffff';
  pen.strokeStyle = '#14181d';
  pen.lineWidth = 1.5;
  pen.beginPath();
  pen.roundRect(x - width / 2, y - height / 2, width, height, 2);
  pen.fill();
  pen.stroke();
  pen.fillStyle = '#14181d';
  pen.font = `700 ${Math.round(Math.min(height * 0.82, (width / Math.max(3, bib.length)) * 1.5))}px system-ui, sans-serif`;
  pen.textAlign = 'center';
  pen.textBaseline = 'middle';
  pen.fillText(bib, x, y + 1);
}

/** An arm that swings against the leg of its side. */
function paintArm(
  pen: Pen,
  { hip }: RunnerFigure,
  t: number,
  body: RunnerBody,
  side: 1 | -1,
  tone: string,
  at: Placed,
): void {
  const swing = side * Math.sin((2 * Math.PI * t * body.motion.cadence) / 120_000 + 2.2) * 0.75;
  const shoulder = { x: hip.x + 0.07, y: hip.y + 0.47 };
  const elbow = { x: shoulder.x + 0.27 * Math.sin(swing - 0.25), y: shoulder.y - 0.27 * Math.cos(swing - 0.25) };
  const hand = { x: elbow.x + 0.25 * Math.cos(swing * 0.6 + 0.25), y: elbow.y + 0.25 * Math.sin(swing * 0.6 + 0.25) };
  const scale = at.depth * at.view.scale;
  stroke(pen, [place(at, shoulder), place(at, elbow), place(at, hand)], 0.075 * scale, tone);
}

function stroke(pen: Pen, points: readonly Point[], width: number, tone: string): void {
  pen.strokeStyle = tone;
  pen.lineWidth = width;
  pen.lineCap = 'round';
  pen.lineJoin = 'round';
  pen.beginPath();
  points.forEach(({ x, y }, i) => (i === 0 ? pen.moveTo(x, y) : pen.lineTo(x, y)));
  pen.stroke();
}

/** Runners who come, as one sees them up the road: head, singlet and bib, the nearer the farther to the right. */
function paintComing(pen: Pen, runner: CrowdRunner, view: SceneView, tones: SceneTones, since: number): void {
  const until = sideView(runner, view).from * 0.55;
  if (since < -COMING_MS || since > until) return;
  const share = (since + COMING_MS) / (until + COMING_MS);
  // As with anything that comes nearer at a steady pace, most of the growth is at the end.
  const size = 0.45 + 0.55 * share ** 2;
  const x = 18 + (view.width - COMING_SIDE) * share;
  // Who runs farther from the observer stands higher, so that the bibs of a pack can be told apart.
  const y = COMING_BAND - 5 - 14 * size * (1 - runner.passing.lane);
  const scale = 100 * size;
  stroke(
    pen,
    [
      { x, y: y - 0.08 * scale },
      { x, y: y - 0.26 * scale },
    ],
    0.24 * scale,
    runner.singlet,
  );
  pen.fillStyle = tones.near.limb;
  pen.beginPath();
  pen.arc(x, y - 0.46 * scale, 0.09 * scale, 0, 2 * Math.PI);
  pen.fill();
  paintBib(pen, runner.passing.bib, { x, y: y - 0.15 * scale }, 105 * size);
}
