/** Above these a sender says to save a file instead, and a receiver takes nothing. */
export const SCREEN_LIMITS = {
  records: 20_000,
  payloadBytes: 1_048_576,
  blocks: 1_024,
  /** Where inflating stops. */
  unpackedBytes: 16_777_216,
} as const;
