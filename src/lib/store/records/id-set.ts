/** Bytes of a UUID. */
export const ID_BYTES = 16;

const HEX_VALUE = new Uint8Array(128);
for (let digit = 0; digit < 16; digit += 1) HEX_VALUE[digit.toString(16).charCodeAt(0)] = digit;

/** Writes a UUID in lower case as 16 bytes into `bytes` from `offset` on. */
export function writeIdBytes(id: string, bytes: Uint8Array, offset: number): void {
  let at = offset;
  for (let i = 0; i < 36; i += 2) {
    if (id.charCodeAt(i) === 45 /* a hyphen */) i += 1;
    bytes[at] = (HEX_VALUE[id.charCodeAt(i)]! << 4) | HEX_VALUE[id.charCodeAt(i + 1)]!;
    at += 1;
  }
}

/**
 * A set of UUIDs in 16 bytes each: a million of them take 32 MB here and about 100 MB in a `Set` of texts. Open
 * addressing; all bytes, well mixed, choose the place: ids that merely count up would crowd together otherwise.
 */
export class IdSet {
  #slots = new Uint32Array(4 * 1024);
  #size = 0;
  readonly #one = new Uint8Array(ID_BYTES);

  get size(): number {
    return this.#size;
  }

  /** Adds a UUID; `false` when it was there. */
  add(id: string): boolean {
    writeIdBytes(id, this.#one, 0);
    return this.addFrom(new DataView(this.#one.buffer), 0);
  }

  has(id: string): boolean {
    writeIdBytes(id, this.#one, 0);
    const view = new DataView(this.#one.buffer);
    return this.#find(view.getUint32(0), view.getUint32(4), view.getUint32(8), view.getUint32(12)) < 0;
  }

  /** Adds the UUID whose 16 bytes begin at `offset`; `false` when it was there. */
  addFrom(view: DataView, offset: number): boolean {
    const a = view.getUint32(offset);
    const b = view.getUint32(offset + 4);
    const c = view.getUint32(offset + 8);
    const d = view.getUint32(offset + 12);
    if (this.#size * 8 >= this.#slots.length) this.#grow();
    const free = this.#find(a, b, c, d);
    if (free < 0) return false;
    this.#put(free, a, b, c, d);
    this.#size += 1;
    return true;
  }

  /** Adds every UUID of a row of 16-byte pieces. */
  addBytes(bytes: Uint8Array<ArrayBuffer>): void {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    for (let offset = 0; offset + ID_BYTES <= bytes.byteLength; offset += ID_BYTES) this.addFrom(view, offset);
  }

  /** Where the id would go, or −1 when it is there. No UUID is all zeros, so zeros mean a free place. */
  #find(a: number, b: number, c: number, d: number): number {
    const slots = this.#slots;
    const places = slots.length / 4;
    let place = mixed(a, b, c, d) & (places - 1);
    for (;;) {
      const at = place * 4;
      if (slots[at] === 0 && slots[at + 1] === 0 && slots[at + 2] === 0 && slots[at + 3] === 0) return at;
      if (slots[at + 3] === d && slots[at + 2] === c && slots[at + 1] === b && slots[at] === a) return -1;
      place = (place + 1) & (places - 1);
    }
  }

  #put(place: number, a: number, b: number, c: number, d: number): void {
    const slots = this.#slots;
    slots[place] = a;
    slots[place + 1] = b;
    slots[place + 2] = c;
    slots[place + 3] = d;
  }

  #grow(): void {
    const before = this.#slots;
    this.#slots = new Uint32Array(before.length * 2);
    for (let at = 0; at < before.length; at += 4) {
      const a = before[at]!;
      const b = before[at + 1]!;
      const c = before[at + 2]!;
      const d = before[at + 3]!;
      if ((a | b | c | d) !== 0) this.#put(this.#find(a, b, c, d), a, b, c, d);
    }
  }
}

/** A number in which every bit depends on all of the id's (the last step of the hash "murmur3"). */
function mixed(a: number, b: number, c: number, d: number): number {
  let hash = a ^ Math.imul(b, 0x85ebca6b) ^ Math.imul(c, 0xc2b2ae35) ^ Math.imul(d, 0x9e3779b1);
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}
