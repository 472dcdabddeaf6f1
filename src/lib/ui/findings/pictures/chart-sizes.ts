import type { MarksPicture } from '../../../findings/series-picture.ts';

/** Height of a row's name above its marks, of one mark and of one bar, CSS pixels. */
export const NAME_PX = 22;
export const MARK_PX = 20;
export const BAR_PX = 30;
export const FONT_PX = 13;

/** Height of one row of marks: its name, then a line for each group. */
export const rowPx = (picture: MarksPicture): number => NAME_PX + picture.groups.length * MARK_PX + 12;
