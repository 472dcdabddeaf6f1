// Packs a hand-off file off the page: the largest takes a second on a fast machine.
import { packPayload } from '../../../screen/pack-payload.ts';

export type Packed = ReturnType<typeof packPayload>;

onmessage = ({ data: file }: MessageEvent<string>) => postMessage(packPayload(file) satisfies Packed);
