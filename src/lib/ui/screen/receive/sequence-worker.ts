// Reads, collects and unpacks a running sequence of codes off the page: the largest takes a second of sums at its end.
import { confirmationCode } from '../../../screen/confirmation-code.ts';
import { FrameCollector } from '../../../screen/frame-collector.ts';
import { unpackPayload } from '../../../screen/unpack-payload.ts';
import { codeIn } from '../camera/code-in-picture.ts';
import type { SequenceAnswer, SequenceAsked, UnpackedFile } from './sequence-messages.ts';
import { unpackTools } from './unpack-tools.ts';

let collector = new FrameCollector();

async function hear(picture: ImageBitmap | VideoFrame, square: boolean): Promise<SequenceAnswer> {
  try {
    const text = await codeIn(picture, square);
    const heard = text === null ? null : collector.take(text);
    return { kind: 'heard', heard, parts: collector.parts, needed: collector.needed };
  } finally {
    picture.close();
  }
}

/** Only when the sequence is whole. */
async function unpack(): Promise<UnpackedFile | null> {
  const unpacked = await unpackPayload(collector.payload!, await unpackTools());
  if (!unpacked.ok) return null;
  const { file, digest } = unpacked.value;
  return { file, confirmation: confirmationCode(digest) };
}

onmessage = async ({ data }: MessageEvent<SequenceAsked>) => {
  const answer = (message: SequenceAnswer) => postMessage(message);
  try {
    if (data.kind === 'anew') collector = new FrameCollector();
    else if (data.kind === 'unpack') answer({ kind: 'unpacked', unpacked: await unpack() });
    else answer(await hear(data.picture, data.square));
  } catch (error) {
    answer({ kind: 'failed', message: (error as Error).message });
  }
};
