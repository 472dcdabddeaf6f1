import { expect, it } from 'vitest';
import type { FlowPicture, MarksPicture } from '../series-picture.ts';
import { pictureFileSvg } from './picture-file-svg.ts';

const TABLE = { caption: '', columns: [], rows: [] };
const MARKS: MarksPicture = {
  kind: 'marks',
  style: 'bar',
  unit: 'share',
  id: 'marks',
  title: 'Shares <at> the bridge & beyond, told in a title that is longer than one line of the picture can hold',
  label: 'Bars.',
  axisTitle: 'share',
  rows: ['first'],
  groups: [{ name: 'rearfoot', tone: 'rearfoot', marks: [{ value: 0.5, low: 0.4, high: 0.6 }] }],
  min: 0,
  max: 1,
  table: TABLE,
};
const FLOW: FlowPicture = {
  kind: 'flow',
  id: 'flow',
  title: 'From early to late',
  label: 'Bands.',
  columns: ['early', 'late'],
  nodes: [
    { id: 'a', name: 'rearfoot 12', column: 0, tone: 'rearfoot' },
    { id: 'b', name: 'midfoot 12', column: 1, tone: 'midfoot' },
  ],
  links: [{ from: 'a', to: 'b', value: 12 }],
  table: TABLE,
};

it('is as wide as asked for, in proportion, and stands on its own', () => {
  for (const picture of [MARKS, FLOW]) {
    const svg = pictureFileSvg(picture, 'Dike Marathon · made with Kerbside', 85, '"Any Sans", sans-serif');
    const [, mm, wide, high] = /width="85mm" height="([\d.]+)mm" viewBox="0 0 (\d+) ([\d.]+)"/.exec(svg)!.map(Number);
    expect(mm! / 85).toBeCloseTo(high! / wide!, 3);
    expect(svg).toContain('xmlns="http://www.w3.org/2000/svg"');
    expect(svg).toContain('font-family="&quot;Any Sans&quot;, sans-serif"');
    expect(svg).not.toMatch(/NaN|undefined|inherit/);
    expect(svg).toContain('made with Kerbside');
  }
});

it('writes names as text, whatever characters they have, and long titles over several lines', () => {
  const svg = pictureFileSvg(MARKS, '', 170, 'sans-serif');
  expect(svg).not.toContain('<at>');
  expect(svg.match(/font-size="16"/g)).toHaveLength(2);
});

it('has no letter below six points, whatever width is asked for', () => {
  for (const widthMm of [80, 85, 120, 170, 400]) {
    for (const picture of [MARKS, FLOW]) {
      const svg = pictureFileSvg(picture, 'Dike Marathon', widthMm, 'sans-serif');
      const [, wide] = /viewBox="0 0 (\d+)/.exec(svg)!.map(Number);
      const pointsOfUnit = ((widthMm / 25.4) * 72) / wide!;
      const sizes = [...svg.matchAll(/font-size="(\d+)"/g)].map(([, size]) => Number(size) * pointsOfUnit);
      expect(Math.min(...sizes)).toBeGreaterThanOrEqual(6);
    }
  }
});
