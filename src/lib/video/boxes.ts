/** The nested boxes of an MP4 or QuickTime header (ISO/IEC 14496-12, 4.2). */
export class Boxes {
  readonly #view: DataView;

  constructor(bytes: Uint8Array) {
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  /** Each box between two places: its name, and where its content begins and ends. */
  *between(from: number, to: number): Generator<{ name: string; from: number; to: number }> {
    let at = from;
    while (at + 8 <= to) {
      const { name, size, head } = boxHead(this.#view, at, to - at);
      if (size < head || at + size > to) return;
      yield { name, from: at + head, to: at + size };
      at += size;
    }
  }

  u32(at: number): number {
    return this.#view.getUint32(at);
  }

  /** A whole number of 4 or 8 bytes. */
  whole(at: number, long: boolean): number {
    return long ? Number(this.#view.getBigUint64(at)) : this.#view.getUint32(at);
  }

  signed(at: number, long: boolean): number {
    return long ? Number(this.#view.getBigInt64(at)) : this.#view.getInt32(at);
  }

  isLong(box: { from: number }): boolean {
    return this.#view.getUint8(box.from) === 1;
  }
}

/** Name and size of the box at a place; a size of 0 reaches to the end. */
export function boxHead(view: DataView, at: number, rest: number): { name: string; size: number; head: number } {
  const short = view.getUint32(at);
  const name = String.fromCharCode(...[4, 5, 6, 7].map((i) => view.getUint8(at + i)));
  if (short === 1 && at + 16 <= view.byteLength) return { name, size: Number(view.getBigUint64(at + 8)), head: 16 };
  return { name, size: short === 0 ? rest : short, head: 8 };
}
