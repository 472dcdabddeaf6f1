import { createHash, timingSafeEqual } from 'node:crypto';

/** SHA-256 in hexadecimal digits. */
export function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

/** Whether two secrets are the same, in a time that tells nothing of where they differ. */
export function sameSecret(a: string, b: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(a), digest(b));
}
