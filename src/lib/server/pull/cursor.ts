/**
 * How far a client has read: the log's name and the last arrival it got. Clients hand it back as it is.
 *
 * @param arrival 0 for a client that has read nothing
 */
export function writeCursor(log: string, arrival: number): string {
  return Buffer.from(`${log}.${arrival}`).toString('base64url');
}

/**
 * The arrival after which to go on; null when this log has given no such cursor. So it is with one of a race that was erased
 * and opened again, or of a store that was set back to an older copy: its client starts from the first record and brings
 * its own again.
 */
export function readCursor(text: string, log: string, lastArrival: number): number | null {
  const parts = /^([0-9a-f]{16})\.(\d{1,15})$/.exec(Buffer.from(text, 'base64url').toString('latin1'));
  const arrival = Number(parts?.[2]);
  return parts?.[1] === log && arrival <= lastArrival ? arrival : null;
}
