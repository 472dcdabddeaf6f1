import type { ForestMark, ForestPicture } from '../pool/pictures.ts';
import { escaped } from './escaped.ts';
import { INK, svgFrame, TONES, WIDTH } from './svg-frame.ts';

const LEFT = 170;
const RIGHT = 160;
const ROW = 22;
const LONGEST_NAME = 27;
/** Sides of a race's square: its area goes with the weight. */
const LEAST_SIDE = 4;
const MOST_SIDE = 12;

/** A forest plot: a row a race, then the mean as a diamond and where a further race may lie. */
export function forestSvg(picture: ForestPicture): string {
  const { rows, reference, ticks, axis } = picture;
  const [least, most] = [picture.scale(picture.from), picture.scale(picture.to)];
  const x = (value: number): number => {
    const part = (picture.scale(value) - least) / (most - least);
    return LEFT + (WIDTH - LEFT - RIGHT) * Math.min(1, Math.max(0, part));
  };
  const heaviest = Math.max(...rows.map(({ weight }) => weight), Number.MIN_VALUE);
  const bottom = 8 + rows.length * ROW;
  const drawn = rows.map((row, i) => rowSvg(row, 8 + (i + 0.5) * ROW, x, Math.sqrt(row.weight / heaviest)));
  const line =
    reference === null ? '' : `<path d="M${x(reference)} 4V${bottom}" stroke="${INK}" stroke-dasharray="3 3"/>`;
  const scale = ticks.map(
    ({ at, text }) =>
      `<path d="M${x(at)} ${bottom}v5" stroke="${INK}"/><text x="${x(at)}" y="${bottom + 18}" text-anchor="middle">${escaped(text)}</text>`,
  );
  const foot = `<path d="M${LEFT} ${bottom}H${WIDTH - RIGHT}" stroke="${INK}"/>${scale.join('')}<text x="${(LEFT + WIDTH - RIGHT) / 2}" y="${bottom + 34}" text-anchor="middle">${escaped(axis)}</text>`;
  return svgFrame(picture.label, bottom + 40, `${line}${drawn.join('')}${foot}`);
}

function rowSvg(row: ForestMark, y: number, x: (value: number) => number, weight: number): string {
  const name = row.name.length > LONGEST_NAME ? `${row.name.slice(0, LONGEST_NAME - 1)}…` : row.name;
  const bold = row.kind === 'race' ? '' : ' font-weight="600"';
  return `<text x="0" y="${y + 4}"${bold}>${escaped(name)}</text>${markSvg(row, y, x, weight)}<text x="${WIDTH}" y="${y + 4}" text-anchor="end"${bold}>${escaped(row.words)}</text>`;
}

function markSvg({ kind, low, estimate, high }: ForestMark, y: number, x: (value: number) => number, weight: number) {
  const [from, middle, to] = [x(low), x(estimate), x(high)];
  if (kind === 'mean') {
    return `<path d="M${from} ${y}L${middle} ${y - 7}L${to} ${y}L${middle} ${y + 7}Z" fill="${TONES.second}" stroke="${INK}"/>`;
  }
  const dashes = kind === 'prediction' ? ' stroke-dasharray="4 3"' : '';
  const whisker = `<path d="M${from} ${y}H${to}M${from} ${y - 4}v8M${to} ${y - 4}v8" stroke="${INK}" fill="none"${dashes}/>`;
  if (kind === 'prediction') return whisker;
  const side = LEAST_SIDE + (MOST_SIDE - LEAST_SIDE) * weight;
  return `${whisker}<rect x="${middle - side / 2}" y="${y - side / 2}" width="${side}" height="${side}" fill="${TONES.first}"/>`;
}
