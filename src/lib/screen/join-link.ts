/** What the code that a lead shows for joining holds. */
export interface JoinLink {
  /** The hub's address, such as `http://192.168.4.20:4173`. */
  readonly origin: string;
  readonly code: string;
}

const JOIN_LINK = /^(https?:\/\/[^/?#\s]+)\/join#([A-Za-z0-9-]{1,64})$/;

/** Reads the text of a code as the link that Hand-off shows for joining; `null` when it is another text. */
export function readJoinLink(text: string): JoinLink | null {
  const [, origin, code] = JOIN_LINK.exec(text.trim()) ?? [];
  return origin === undefined || code === undefined ? null : { origin: origin.toLowerCase(), code };
}
