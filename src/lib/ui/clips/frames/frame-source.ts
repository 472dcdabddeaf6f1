/** What one frame looks like, ready to draw. It stays good until the source is asked for another frame. */
export interface ShownFrame {
  readonly frame: number;
  readonly picture: CanvasImageSource;
  /** Quarter turns clockwise, in degrees, that `picture` still needs. */
  readonly turn: 0 | 90 | 180 | 270;
  /** Whether it is certainly the frame asked for; one that is not takes no mark. */
  readonly exact: boolean;
}

/** Shows any frame of one clip. */
export interface FrameSource {
  readonly kind: 'decoder' | 'element';
  /**
   * The picture of a frame; `null` when a later call has taken its place. Calls may follow each other at any pace: only the
   * last is answered.
   */
  show(frame: number): Promise<ShownFrame | null>;
  /** Gets frames ready around one, in a direction, as long as nothing else is asked. */
  readAhead(frame: number, direction: 1 | -1): void;
  /** Bytes that are held in decoded frames. */
  readonly heldBytes: number;
  /** Whether memory was refused and fewer frames are held than planned. */
  readonly squeezed: boolean;
  /** Frees everything. */
  close(): void;
}
