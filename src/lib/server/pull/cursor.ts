/** Up to where a client has read a race's log. */
export interface LogPlace {
  /** The last arrival that it got; 0 before the first. */
  readonly arrival: number;
  /**
   * Set while something is left of what was said of that record before it came: the last arrival of these that the client
   * got, 0 for none.
   */
  readonly early?: number | undefined;
}

/** How far a client has read: the log's name and its place there. Clients hand it back as it is. */
export function writeCursor(log: string, { arrival, early }: LogPlace): string {
  return Buffer.from(`${log}.${arrival}${early === undefined ? '' : `.${early}`}`).toString('base64url');
}

/**
 * The place after which to go on; null when this log has given no such cursor. So it is with one of a race that was erased
 * and opened again, or of a store that was set back to an older copy: its client starts from the first record and brings
 * its own again.
 */
export function readCursor(text: string, log: string, lastArrival: number): LogPlace | null {
  const parts = /^([0-9a-f]{16})\.(\d{1,15})(?:\.(\d{1,15}))?$/.exec(Buffer.from(text, 'base64url').toString('latin1'));
  if (parts?.[1] !== log) return null;
  const arrival = Number(parts[2]);
  const early = parts[3] === undefined ? undefined : Number(parts[3]);
  return arrival <= lastArrival ? { arrival, early } : null;
}
