import type { CodeHeard } from '../../../screen/frame-collector.ts';

/** What the page asks of the worker that collects a running sequence of codes. */
export type SequenceAsked =
  | {
      readonly kind: 'picture';
      /** It is handed over. */
      readonly picture: ImageBitmap | VideoFrame;
      /** Look in the square in the middle alone, which takes half the time. */
      readonly square: boolean;
    }
  /** Forget what was collected. */
  | { readonly kind: 'anew' }
  /** Unpack the sequence that is whole. */
  | { readonly kind: 'unpack' };

/** What a picture told, and how far the sequence is; `heard` is `null` when no code in it could be read. */
export interface SequenceHeard {
  readonly heard: CodeHeard | null;
  readonly parts: number;
  /** Parts that are needed; 0 before the first. */
  readonly needed: number;
}

/** A hand-off file as its bytes, and its confirmation code. */
export interface UnpackedFile {
  readonly file: Uint8Array;
  readonly confirmation: string;
}

export type SequenceAnswer =
  | ({ readonly kind: 'heard' } & SequenceHeard)
  /** `unpacked` is `null` when what came is damaged. */
  | { readonly kind: 'unpacked'; readonly unpacked: UnpackedFile | null }
  | { readonly kind: 'failed'; readonly message: string };
