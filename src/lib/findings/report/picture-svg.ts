import { clock, decimal, percentNumber } from '../../words/numbers.ts';
import type {
  BoxesPicture,
  CoursePicture,
  MarksPicture,
  Picture,
  StackPicture,
  Tone,
  Unit,
} from '../series-picture.ts';
import { escaped } from './escaped.ts';
import { flowSvg } from './flow-svg.ts';
import { INK, textOverLines, svgFrame, TONES, WIDTH } from './svg-frame.ts';

const LEFT = 190;
const RIGHT = 24;
const ROW = 30;
/** Room that a letter takes on the average, and a line; letters are 12 high. */
const LETTER = 6;
const LINE = 14;

/**
 * A picture as SVG for a page without scripts.
 *
 * @param width of the drawing in units, of which letters are twelve high; from 400 on every picture finds room
 */
export function pictureSvg(picture: Picture, width = WIDTH): string {
  switch (picture.kind) {
    case 'stack':
      return stackSvg(picture, width);
    case 'marks':
      return marksSvg(picture, width);
    case 'boxes':
      return boxesSvg(picture, width);
    case 'course':
      return marksSvg(courseAsMarks(picture), width);
    case 'flow':
      return flowSvg(picture, width);
  }
}

interface Scale {
  readonly x: (value: number) => number;
  readonly ticks: readonly number[];
  /** Of the whole drawing. */
  readonly width: number;
}

function scaleOf(min: number, max: number, width: number): Scale {
  const span = max - min || 1;
  const rough = span / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 2.5, 5, 10].find((times) => times * power >= rough) ?? 10);
  const first = Math.ceil(min / step - 1e-9);
  const last = Math.floor(max / step + 1e-9);
  return {
    x: (value) => LEFT + ((width - LEFT - RIGHT) * (Math.min(max, Math.max(min, value)) - min)) / span,
    ticks: Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step),
    width,
  };
}

function tickText(value: number, unit: Unit): string {
  if (unit === 'share') return `${percentNumber(value)}`.replace(/\.0$/, '');
  if (unit === 'points') return decimal(value * 100, 0);
  if (unit === 'whole') return decimal(value, 0);
  return unit === 'time' ? clock(value).replace(/:\d\d$/, '') : decimal(value, 1);
}

/** Lines of an axis title, by the room that there is. */
const titleLines = (title: string, width: number): string[] => textOverLines(title, Math.floor(width / LETTER));

/** What the lines of an axis title beyond the first add to a drawing's height. */
const moreForTitle = (title: string, width: number): number => (titleLines(title, width).length - 1) * LINE;

/** @param height up to the lower edge of the title's first line */
function axis({ x, ticks, width }: Scale, height: number, unit: Unit, title: string): string {
  const bottom = height - 40;
  const middle = (LEFT + width - RIGHT) / 2;
  const lines = ticks.map(
    (tick) =>
      `<line x1="${x(tick)}" x2="${x(tick)}" y1="8" y2="${bottom}" stroke="#d5d8dc"/><text x="${x(tick)}" y="${bottom + 15}" text-anchor="middle">${tickText(tick, unit)}</text>`,
  );
  const titles = titleLines(title, width).map((line, i) => {
    // A title too long for the middle of the axis ends where the drawing does.
    const fits = middle + (line.length * LETTER) / 2 <= width;
    const place = fits ? `x="${middle}" text-anchor="middle"` : `x="${width}" text-anchor="end"`;
    return `<text ${place} y="${height - 6 + i * LINE}">${escaped(line)}</text>`;
  });
  return lines.join('') + titles.join('');
}

/** More letters are hardly read, and from so many on they are set closer to find room. */
const MOST_LETTERS = 32;
const LETTERS_AT_EASE = 28;

function rowName(name: string, y: number): string {
  const shown = name.length > MOST_LETTERS ? `${name.slice(0, MOST_LETTERS - 1)}…` : name;
  const closer = shown.length > LETTERS_AT_EASE ? ` textLength="${LEFT - 14}" lengthAdjust="spacingAndGlyphs"` : '';
  return `<text x="${LEFT - 10}" y="${y + 4}" text-anchor="end"${closer}>${escaped(shown)}</text>`;
}

function legend(
  entries: readonly { readonly name: string; readonly tone: Tone; readonly hollow?: boolean }[],
  y: number,
  width: number,
): string {
  const wide = entries.reduce((sum, { name }) => sum + 34 + name.length * 6.4, 0);
  let x = Math.max(0, Math.min(LEFT, width - wide));
  return entries
    .map(({ name, tone, hollow }) => {
      const part = `<rect x="${x}" y="${y - 9}" width="11" height="11" fill="${hollow ? '#fff' : TONES[tone]}" stroke="${hollow ? TONES[tone] : INK}" stroke-width="${hollow ? 2 : 0.5}"/><text x="${x + 16}" y="${y}">${escaped(name)}</text>`;
      x += 34 + name.length * 6.4;
      return part;
    })
    .join('');
}

function stackSvg(picture: StackPicture, width: number): string {
  const height = picture.bars.length * ROW + 74;
  const scale = scaleOf(0, 1, width);
  const bars = picture.bars.map(({ name, segments, whisker }, i) => {
    const y = 12 + i * ROW + ROW / 2;
    let from = 0;
    const parts = segments.map(({ tone, share }) => {
      const part = `<rect x="${scale.x(from)}" y="${y - 9}" width="${scale.x(from + share) - scale.x(from)}" height="18" fill="${TONES[tone]}" stroke="#fff" stroke-width=".8"/>`;
      from += share;
      return part;
    });
    return `${rowName(name, y)}${parts.join('')}${whisker ? interval(scale, whisker.low, whisker.high, y, '#fff') : ''}`;
  });
  const names = picture.bars[0]?.segments.map(({ label, tone }) => ({ name: label, tone })) ?? [];
  const body = `${axis(scale, height - 22, 'share', 'percent')}${bars.join('')}${legend(names, height - 6, width)}`;
  return svgFrame(picture.label, height, body, width);
}

const interval = (scale: Scale, low: number, high: number, y: number, halo = 'none'): string => {
  const line = (colour: string, width: number): string =>
    `<path d="M${scale.x(low)} ${y}H${scale.x(high)}M${scale.x(low)} ${y - 4}v8M${scale.x(high)} ${y - 4}v8" stroke="${colour}" stroke-width="${width}" fill="none"/>`;
  return `${halo === 'none' ? '' : line(halo, 4)}${line(INK, 1.4)}`;
};

const courseAsMarks = (picture: CoursePicture): MarksPicture => ({
  ...picture,
  kind: 'marks',
  style: 'point',
  unit: 'share',
  axisTitle: 'rearfoot share, percent',
  rows: picture.marks.map(({ name, km }) => `${name}, ${km} km`),
  groups: [{ name: 'rearfoot', tone: 'rearfoot', marks: picture.marks }],
});

function marksSvg(picture: MarksPicture, width: number): string {
  const { rows, groups, unit, style, reference } = picture;
  const values = groups.flatMap(({ marks }) =>
    marks.flatMap((mark) => (mark ? [mark.value, mark.low ?? mark.value, mark.high ?? mark.value] : [])),
  );
  const all = [...values, ...(reference === undefined ? [] : [reference]), ...(style === 'bar' ? [0] : [])];
  const scale = scaleOf(picture.min ?? Math.min(...all), picture.max ?? Math.max(...all), width);
  const step = Math.max(ROW, groups.length * 16 + 6);
  const axisHeight = rows.length * step + 54;
  const height = axisHeight + moreForTitle(picture.axisTitle, width) + (groups.length > 1 ? 22 : 0);
  const drawn = rows.map((name, row) => {
    const middle = 12 + row * step + step / 2;
    const marks = groups.map(({ tone, hollow, marks: own }, g) => {
      const mark = own[row];
      if (!mark) return '';
      const y = middle + (g - (groups.length - 1) / 2) * 15;
      const shape =
        style === 'bar'
          ? `<rect x="${scale.x(0)}" y="${y - 6}" width="${Math.max(0, scale.x(mark.value) - scale.x(0))}" height="12" fill="${TONES[tone]}"/>`
          : pointSvg(scale.x(mark.value), y, tone, hollow);
      const halo = style === 'bar' ? '#fff' : 'none';
      const range = mark.low !== null && mark.high !== null ? interval(scale, mark.low, mark.high, y, halo) : '';
      return style === 'bar' ? shape + range : range + shape;
    });
    return rowName(name, middle) + marks.join('');
  });
  const line =
    reference === undefined
      ? ''
      : `<line x1="${scale.x(reference)}" x2="${scale.x(reference)}" y1="8" y2="${axisHeight - 40}" stroke="${INK}" stroke-dasharray="3 3"/>`;
  const names = groups.length > 1 ? legend(groups, height - 6, width) : '';
  return svgFrame(
    picture.label,
    height,
    `${axis(scale, axisHeight, unit, picture.axisTitle)}${line}${drawn.join('')}${names}`,
    width,
  );
}

const pointSvg = (x: number, y: number, tone: Tone, hollow = false): string =>
  `<circle cx="${x}" cy="${y}" r="4.5" ${hollow ? `fill="#fff" stroke="${TONES[tone]}" stroke-width="2"` : `fill="${TONES[tone]}"`}/>`;

function boxesSvg(picture: BoxesPicture, width: number): string {
  const { boxes } = picture;
  const scale = scaleOf(Math.min(...boxes.map(({ low }) => low)), Math.max(...boxes.map(({ high }) => high)), width);
  const height = boxes.length * ROW + 54;
  const drawn = boxes.map(({ name, tone, low, q1, median, q3, high }, i) => {
    const y = 12 + i * ROW + ROW / 2;
    return `${rowName(name, y)}${interval(scale, low, high, y)}<rect x="${scale.x(q1)}" y="${y - 8}" width="${scale.x(q3) - scale.x(q1)}" height="16" fill="${TONES[tone]}" stroke="${INK}"/><path d="M${scale.x(median)} ${y - 8}v16" stroke="#fff" stroke-width="3"/><path d="M${scale.x(median)} ${y - 8}v16" stroke="${INK}" stroke-width="1.4"/>`;
  });
  const body = `${axis(scale, height, 'time', picture.axisTitle)}${drawn.join('')}`;
  return svgFrame(picture.label, height + moreForTitle(picture.axisTitle, width), body, width);
}
