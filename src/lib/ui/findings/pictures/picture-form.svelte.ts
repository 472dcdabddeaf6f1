import { createContext } from 'svelte';

export const PICTURE_KINDS = ['png', 'svg'] as const;
export type PictureKind = (typeof PICTURE_KINDS)[number];

/** Widths in millimetres and dots per inch that can be asked for: from a column of a journal to a poster. */
export const PICTURE_LIMITS = { widthMm: [80, 400], dpi: [72, 1200] } as const;

export interface PictureFormChoice {
  readonly kind: PictureKind;
  readonly widthMm: number;
  /** Of a PNG. */
  readonly dpi: number;
}

const within = (value: number, [least, most]: readonly [number, number]): number | null =>
  value >= least && value <= most ? value : null;

/** How pictures are saved; a figure out of its limits changes nothing. */
export class PictureForm {
  #choice = $state.raw<PictureFormChoice>({ kind: 'png', widthMm: 170, dpi: 300 });

  get choice() {
    return this.#choice;
  }

  chooseKind(kind: PictureKind): void {
    this.#choice = { ...this.#choice, kind };
  }

  chooseWidth(mm: number): void {
    this.#choice = { ...this.#choice, widthMm: within(mm, PICTURE_LIMITS.widthMm) ?? this.#choice.widthMm };
  }

  chooseDpi(dpi: number): void {
    this.#choice = { ...this.#choice, dpi: within(dpi, PICTURE_LIMITS.dpi) ?? this.#choice.dpi };
  }
}

const [get, set] = createContext<PictureForm>();

/** Hands a page's choice down to its pictures. */
export const providePictureForm = set;
export const usePictureForm = get;
