import type { FlowNode, FlowPicture } from '../series-picture.ts';
import { escaped } from './escaped.ts';
import { INK, svgFrame, TONES, WIDTH } from './svg-frame.ts';

const NODE_PX = 12;
const SIDE_PX = 130;
const TOP_PX = 34;
/** Height of all bands together, and of the gap below each node. */
const BANDS_PX = 220;
const GAP_PX = 16;

interface PlacedNode {
  readonly node: FlowNode;
  readonly x: number;
  readonly y: number;
  readonly height: number;
}

/** Bands from the early classes to the late ones, as thick as they are many. */
export function flowSvg(picture: FlowPicture, width = WIDTH): string {
  const total = picture.links.reduce((sum, { value }) => sum + value, 0);
  const scale = BANDS_PX / Math.max(1, total);
  const placed = new Map(
    [0, 1].flatMap((column) => placedColumn(picture, column, scale, width)).map((at) => [at.node.id, at]),
  );
  const lowest = Math.max(...[...placed.values()].map(({ y, height }) => y + height));
  return svgFrame(
    picture.label,
    lowest + 12,
    `${heads(picture, width)}${bands(picture, placed, scale, width)}${[...placed.values()].map(nodeSvg).join('')}`,
    width,
  );
}

function placedColumn({ nodes, links }: FlowPicture, column: number, scale: number, width: number): PlacedNode[] {
  let y = TOP_PX;
  const x = column === 0 ? SIDE_PX : width - SIDE_PX - NODE_PX;
  return nodes
    .filter((node) => node.column === column)
    .map((node) => {
      const runners = links.reduce(
        (sum, { from, to, value }) => sum + (from === node.id || to === node.id ? value : 0),
        0,
      );
      const placed = { node, x, y, height: runners * scale };
      // A thin node still has room for its name.
      y += Math.max(placed.height, 4) + GAP_PX;
      return placed;
    });
}

const heads = ({ columns }: FlowPicture, width: number): string =>
  columns
    .map((head, i) => {
      const place = i === 0 ? 'x="0"' : `x="${width}" text-anchor="end"`;
      return `<text ${place} y="14" font-weight="600">${escaped(head)}</text>`;
    })
    .join('');

function bands({ links }: FlowPicture, placed: ReadonlyMap<string, PlacedNode>, scale: number, width: number): string {
  const left = new Map<string, number>();
  const right = new Map<string, number>();
  const middle = width / 2;
  return links
    .map(({ from, to, value }) => {
      const start = placed.get(from);
      const end = placed.get(to);
      if (!start || !end) return '';
      const height = value * scale;
      const y1 = start.y + (left.get(from) ?? 0);
      const y2 = end.y + (right.get(to) ?? 0);
      left.set(from, (left.get(from) ?? 0) + height);
      right.set(to, (right.get(to) ?? 0) + height);
      const [x1, x2] = [start.x + NODE_PX, end.x];
      const path = `M${x1} ${y1}C${middle} ${y1} ${middle} ${y2} ${x2} ${y2}v${height}C${middle} ${y2 + height} ${middle} ${y1 + height} ${x1} ${y1 + height}z`;
      return `<path d="${path}" fill="${TONES[start.node.tone]}" fill-opacity=".45"/>`;
    })
    .join('');
}

function nodeSvg({ node, x, y, height }: PlacedNode): string {
  const name = node.column === 0 ? `x="${x - 8}" text-anchor="end"` : `x="${x + NODE_PX + 8}"`;
  return `<rect x="${x}" y="${y}" width="${NODE_PX}" height="${Math.max(1, height)}" fill="${TONES[node.tone]}" stroke="${INK}" stroke-width=".5"/><text ${name} y="${y + height / 2 + 4}">${escaped(node.name)}</text>`;
}
