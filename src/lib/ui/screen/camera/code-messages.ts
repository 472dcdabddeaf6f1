/** A picture in which a code is to be looked for. It is handed over. */
export interface CodeAsked {
  readonly ask: number;
  readonly picture: ImageBitmap | VideoFrame;
  /** Look in the square in the middle alone, which takes half the time. */
  readonly square: boolean;
}

export interface CodeAnswer {
  readonly ask: number;
  /** The text of the code in the picture; `null` when there is none that can be read. */
  readonly text: string | null;
  readonly fault?: string;
}
