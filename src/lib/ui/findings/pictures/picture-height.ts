import type { Picture, StackPicture } from '../../../findings/series-picture.ts';
import { BAR_PX, FONT_PX, NAME_PX, rowPx } from './chart-sizes.ts';

/** The height a picture wants at a width, CSS pixels. */
export function pictureHeight(picture: Picture, widthPx: number): number {
  switch (picture.kind) {
    case 'stack':
      return picture.bars.length * (NAME_PX + BAR_PX + 16) + 46 + legendPx(segmentNames(picture), widthPx);
    case 'marks': {
      const names = picture.groups.map(({ name }) => name);
      const legend = names.length > 1 ? legendPx(names, widthPx) : 0;
      return picture.rows.length * rowPx(picture) + axisPx(picture.axisTitle) + legend;
    }
    case 'boxes':
      return picture.boxes.length * (NAME_PX + BAR_PX + 8) + axisPx(picture.axisTitle);
    case 'flow':
      return Math.max(300, Math.min(420, widthPx * 0.75));
    case 'course':
      return Math.max(240, Math.min(340, widthPx * 0.6));
  }
}

const segmentNames = (picture: StackPicture): string[] =>
  picture.bars.reduce<string[]>(
    (longest, bar) => (bar.segments.length > longest.length ? bar.segments.map(({ label }) => label) : longest),
    [],
  );

/** Height of a legend that wraps, reckoned with a usual width of a letter. */
function legendPx(names: readonly string[], widthPx: number): number {
  let lines = 1;
  let used = 0;
  for (const name of names) {
    const wide = name.length * FONT_PX * 0.58 + 44;
    if (used > 0 && used + wide > widthPx) {
      lines += 1;
      used = 0;
    }
    used += wide;
  }
  return lines * 30 + 8;
}

const axisPx = (title: string): number => 40 + title.split('; ').length * 18;
