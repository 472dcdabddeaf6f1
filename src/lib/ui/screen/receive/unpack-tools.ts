import type { UnpackTools } from '../../../screen/unpack-payload.ts';

/** The browser's own tools; where it has none, those that are loaded for it. */
export async function unpackTools(): Promise<UnpackTools> {
  if (hasOwnTools()) return ownTools;
  const { plainUnpackTools } = await import('../../../screen/plain-unpack-tools.ts');
  return plainUnpackTools;
}

function hasOwnTools(): boolean {
  try {
    // Older browsers know other formats only, and pages on plain http have no SHA-256.
    new DecompressionStream('deflate-raw');
    return 'subtle' in crypto;
  } catch {
    return false;
  }
}

const ownTools: UnpackTools = {
  sha256: async (bytes) => new Uint8Array(await crypto.subtle.digest('SHA-256', bytes)),
  inflate: async (bytes, length) => {
    try {
      return await inflated(bytes, length);
    } catch {
      return null;
    }
  },
};

/** Throws when the bytes are no DEFLATE. What comes beyond `length` is not waited for. */
async function inflated(bytes: Uint8Array, length: number): Promise<Uint8Array<ArrayBuffer> | null> {
  const whole = new Uint8Array(length);
  const reader = new Blob([bytes.slice()]).stream().pipeThrough(new DecompressionStream('deflate-raw')).getReader();
  for (let at = 0; ;) {
    const { done, value } = await reader.read();
    if (done) return at === length ? whole : null;
    if (at + value.length > length) {
      await reader.cancel();
      return null;
    }
    whole.set(value, at);
    at += value.length;
  }
}
