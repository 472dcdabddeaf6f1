import type { Tone } from '../../../findings/series-picture.ts';
import type { ChartPalette } from './chart-palette.ts';

/** Side of a pattern's tile, CSS pixels. */
const TILE = 8;
/** Tiles are drawn larger than shown, so that they stay crisp on dense screens and in saved files. */
const SCALE = 4;

type Draw = (ctx: CanvasRenderingContext2D) => void;

const diagonal: Draw = (ctx) => {
  ctx.beginPath();
  for (const offset of [-TILE, 0, TILE]) {
    ctx.moveTo(offset - 1, TILE + 1);
    ctx.lineTo(offset + TILE + 1, -1);
  }
  ctx.stroke();
};
const dots: Draw = (ctx) => {
  for (const [x, y] of [
    [2, 2],
    [6, 6],
  ] as const) {
    ctx.beginPath();
    ctx.arc(x, y, 1.3, 0, Math.PI * 2);
    ctx.fill();
  }
};
const upright: Draw = (ctx) => {
  ctx.beginPath();
  ctx.moveTo(TILE / 2, 0);
  ctx.lineTo(TILE / 2, TILE);
  ctx.stroke();
};

/** Solid is a pattern too: rearfoot and the first series have it. */
const PATTERNS: Partial<Record<Tone, Draw>> = {
  midfoot: diagonal,
  forefoot: dots,
  asymmetric: upright,
  second: diagonal,
  third: dots,
  fourth: upright,
};

/** The filling of an area: its tone's colour with a pattern, so that areas differ without colour as well. */
export function areaFill(tone: Tone, palette: ChartPalette): CanvasPattern | string {
  const colour = palette.tones[tone];
  const draw = PATTERNS[tone];
  if (!draw) return colour;
  const tile = document.createElement('canvas');
  tile.width = TILE * SCALE;
  tile.height = TILE * SCALE;
  const ctx = tile.getContext('2d');
  if (!ctx) return colour;
  ctx.scale(SCALE, SCALE);
  ctx.fillStyle = colour;
  ctx.fillRect(0, 0, TILE, TILE);
  ctx.strokeStyle = palette.paper;
  ctx.fillStyle = palette.paper;
  ctx.globalAlpha = 0.6;
  ctx.lineWidth = 1.4;
  draw(ctx);
  const pattern = ctx.createPattern(tile, 'repeat');
  if (!pattern) return colour;
  pattern.setTransform(new DOMMatrix().scale(1 / SCALE));
  return pattern;
}
