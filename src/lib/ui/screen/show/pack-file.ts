import type { Packed } from './pack-worker.ts';

/** Packs a hand-off file in a worker of its own, which ends with it. */
export async function packFile(file: string): Promise<Packed> {
  const worker = new Worker(new URL('./pack-worker.ts', import.meta.url), { type: 'module' });
  try {
    return await new Promise((resolve, reject) => {
      worker.onmessage = ({ data }: MessageEvent<Packed>) => resolve(data);
      worker.onerror = (event) => reject(new Error(event.message || 'the packing could not start'));
      worker.postMessage(file);
    });
  } finally {
    worker.terminate();
  }
}
