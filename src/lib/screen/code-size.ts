/** How large a code is: the version of the QR code, and the bytes of a block in it. */
export interface CodeSize {
  readonly qrVersion: number;
  readonly blockBytes: number;
}

/** `coarse` for shaking hands, poor cameras and distance; `fine` for a good camera held still. */
export const CODE_SIZES = {
  coarse: { qrVersion: 10, blockBytes: 246 },
  usual: { qrVersion: 15, blockBytes: 488 },
  fine: { qrVersion: 20, blockBytes: 815 },
} as const satisfies Record<string, CodeSize>;
export type CodeSizeName = keyof typeof CODE_SIZES;

/** Codes a second: every fifth refresh of 60 Hz, or below three flashes a second's worth of flicker. */
export const CODE_PACES = { usual: 12, calm: 3 } as const;
export type CodePace = keyof typeof CODE_PACES;
