/** The bytes of a file, read piece by piece: a clip of gigabytes is never held as a whole. */
export interface ClipFile {
  readonly size: number;
  /** The bytes from `from` to `to` (not included), both within the file. */
  read(from: number, to: number): Promise<Uint8Array>;
}

/** A file that a person chose on this device. */
export function fileOfBlob(blob: Blob): ClipFile {
  return {
    size: blob.size,
    read: async (from, to) => new Uint8Array(await blob.slice(from, to).arrayBuffer()),
  };
}
