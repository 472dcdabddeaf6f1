// Looks through a clip off the page: stepping and tapping go on meanwhile.
import { clipFaultWords } from '$lib/video/clip-fault.ts';
import { fileOfBlob } from '$lib/video/clip-file.ts';
import { readClip } from '$lib/video/read-clip.ts';
import { searchClip } from './search-clip.ts';
import type { SearchReply, SearchRequest } from './search-messages.ts';

const reply = (message: SearchReply): void => postMessage(message);

async function search({ file, clock }: SearchRequest): Promise<void> {
  const read = await readClip(fileOfBlob(file));
  if (!read.ok) return reply({ kind: 'fault', words: clipFaultWords(read.error) });
  try {
    const found = await searchClip(read.value, clock, (share, soFar) => {
      reply({ kind: 'progress', share, found: soFar });
    });
    reply({ kind: 'done', found });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    reply({ kind: 'fault', words: `The clip could not be looked through: ${why}.` });
  } finally {
    read.value.close();
  }
}

onmessage = ({ data }: MessageEvent<SearchRequest>) => void search(data);
