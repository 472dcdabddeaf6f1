/** Slices that only their own picture needs have the type of an ordinary slice and no reference to them. */
const ORDINARY_SLICE = 1;
const SLICES = { first: 1, last: 5 } as const;

/**
 * Tells packets of H.264 from which no other frame is made, so that they can be passed over on the way to a later one: all
 * their slices have `nal_ref_idc` 0 (ITU-T H.264, 7.4.1). Packets carry NAL units, each behind its length, whose size the
 * decoder's description gives (ISO/IEC 14496-15, 5.3.3.1). Of other codecs every packet is needed.
 *
 * @returns `null` where no packet may be passed over
 */
export function disposableBy({ codec, description }: VideoDecoderConfig): ((packet: Uint8Array) => boolean) | null {
  if (!codec.startsWith('avc1') || !description) return null;
  const bytes = ArrayBuffer.isView(description)
    ? new Uint8Array(description.buffer, description.byteOffset, description.byteLength)
    : new Uint8Array(description);
  if (bytes.length < 5) return null;
  const lengthSize = (bytes[4]! & 3) + 1;
  return (packet) => isDisposable(packet, lengthSize);
}

function isDisposable(packet: Uint8Array, lengthSize: number): boolean {
  let slices = 0;
  for (let at = 0; at + lengthSize < packet.length;) {
    let length = 0;
    for (let i = 0; i < lengthSize; i += 1) length = length * 256 + packet[at + i]!;
    const header = packet[at + lengthSize]!;
    const type = header & 31;
    if (type >= SLICES.first && type <= SLICES.last) {
      if (type !== ORDINARY_SLICE || header >> 5 !== 0) return false;
      slices += 1;
    }
    at += lengthSize + length;
  }
  return slices > 0;
}
