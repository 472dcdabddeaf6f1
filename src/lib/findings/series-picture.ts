import type { RunnerClass } from '../records/foot.ts';

/** A table beside a picture: the first cell of each row names the row. Cells are written out, ready to read. */
export interface TableData {
  readonly caption: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** How a mark is painted: by class, or by rank of attention. */
export type Tone = RunnerClass | 'first' | 'second' | 'third' | 'fourth' | 'muted';

/** What the figures along an axis are. `share` and `points` are proportions, `time` is seconds, `whole` any unit without decimals. */
export type Unit = 'share' | 'points' | 'time' | 'coefficient' | 'factor' | 'whole';

interface PictureBase {
  /** Name of the saved file, without its ending; unique among the pictures of the findings. */
  readonly id: string;
  readonly title: string;
  /** What a person who does not see it is told. */
  readonly label: string;
  readonly table: TableData;
}

/** Horizontal bars that each add up to the whole. */
export interface StackPicture extends PictureBase {
  readonly kind: 'stack';
  readonly bars: readonly {
    readonly name: string;
    readonly segments: readonly { readonly tone: Tone; readonly label: string; readonly share: number }[];
    /** Interval of the first segment's share. */
    readonly whisker?: { readonly low: number; readonly high: number };
  }[];
}

/** One figure with the ends of its interval, where they are known. */
export interface IntervalMark {
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** Points or bars with error bars, a row for each name, a mark in it for each group. */
export interface MarksPicture extends PictureBase {
  readonly kind: 'marks';
  readonly style: 'point' | 'bar';
  readonly unit: Unit;
  readonly axisTitle: string;
  readonly rows: readonly string[];
  readonly groups: readonly {
    readonly name: string;
    readonly tone: Tone;
    /** Points as outlines alone: what is set against the filled ones. */
    readonly hollow?: boolean;
    readonly marks: readonly (IntervalMark | null)[];
  }[];
  /** A value that matters to all marks, such as no difference. */
  readonly reference?: number;
  readonly min?: number;
  readonly max?: number;
}

/** Shares along the course with error bars: x is km. */
export interface CoursePicture extends PictureBase {
  readonly kind: 'course';
  readonly marks: readonly (IntervalMark & { readonly km: number; readonly name: string })[];
}

export interface FlowNode {
  readonly id: string;
  readonly name: string;
  readonly column: number;
  readonly tone: Tone;
}

/** Bands from node to node, as thick as they are many. */
export interface FlowPicture extends PictureBase {
  readonly kind: 'flow';
  readonly columns: readonly string[];
  readonly nodes: readonly FlowNode[];
  readonly links: readonly { readonly from: string; readonly to: string; readonly value: number }[];
}

/** Box plots: whiskers reach to the given ends, the box holds the middle half. */
export interface BoxesPicture extends PictureBase {
  readonly kind: 'boxes';
  readonly axisTitle: string;
  readonly boxes: readonly {
    readonly name: string;
    readonly tone: Tone;
    readonly low: number;
    readonly q1: number;
    readonly median: number;
    readonly q3: number;
    readonly high: number;
  }[];
}

/** Everything needed to draw a picture and to read it without seeing it; knows no drawing library. */
export type Picture = StackPicture | MarksPicture | CoursePicture | FlowPicture | BoxesPicture;
