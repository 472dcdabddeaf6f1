/**
 * A short name for a doubt that is the same on every device: 64 bits of FNV-1a over what makes it this doubt, in 16 hex
 * digits. Two of a race's doubts share one with a probability that does not matter (n² ÷ 2⁶⁵), and then only a decision
 * to leave one as it is would hide the other.
 */
export function doubtKey(parts: readonly (string | number | null)[]): string {
  return hash(parts, 0x811c9dc5) + hash(parts, 0x050c5d1f);
}

function hash(parts: readonly (string | number | null)[], seed: number): string {
  let h = seed;
  for (const part of parts) {
    const text = `${part === null ? '\u0001' : part}\n`;
    for (let i = 0; i < text.length; i += 1) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
    // Plain FNV-1a leaves the upper bits of short texts alike.
    h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  }
  h ^= h >>> 16;
  return (h >>> 0).toString(16).padStart(8, '0');
}

/** What a decision's note ends with, so that any device can tell which doubt it settled. */
export function decisionTag(kind: string, key: string): string {
  return `[${kind} ${key}]`;
}

const TAG = /\[(unlisted|disputed|time|double|clip|missing) ([0-9a-f]{16})\]$/;

/** The doubt that a note says its record settled, or `null` when it is no decision of Check. */
export function readDecisionTag(note: string | undefined): { kind: string; key: string; words: string } | null {
  const match = note === undefined ? null : TAG.exec(note);
  return match ? { kind: match[1]!, key: match[2]!, words: note!.slice(0, match.index).trim() } : null;
}
