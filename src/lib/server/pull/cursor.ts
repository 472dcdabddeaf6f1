/**
 * How far a client has read: the log's name and the last arrival it got. Clients hand it back as it is.
 *
 * @param arrival 0 for a client that has read nothing
 */
export function writeCursor(log: string, arrival: number): string {
  return Buffer.from(`${log}.${arrival}`).toString('base64url');
}

/**
 * The arrival after which to go on; null when `text` is no cursor at all. A cursor of another log (the race was erased and
 * opened again, or the store was set back to an older copy) starts at the first record: a client may get a record twice,
 * which is harmless, and never misses one.
 */
export function readCursor(text: string, log: string, lastArrival: number): number | null {
  const parts = /^([0-9a-f]{16})\.(\d{1,15})$/.exec(Buffer.from(text, 'base64url').toString('latin1'));
  if (!parts) return null;
  const arrival = Number(parts[2]);
  return parts[1] === log && arrival <= lastArrival ? arrival : 0;
}
