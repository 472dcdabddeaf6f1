import type { ExportedFile, ExportReply, ExportRequest } from './export-messages.ts';

export function startExportWorker(): Worker {
  return new Worker(new URL('./export-worker.ts', import.meta.url), { type: 'module' });
}

/** Lets the worker write the tables of a race. Rejects when it fails; never settles once the worker was ended. */
export function exportTables(
  worker: Worker,
  request: ExportRequest,
  onProgress: (words: string) => void,
): Promise<{ files: ExportedFile[]; said: string[] }> {
  return new Promise((resolve, reject) => {
    worker.onmessage = (event: MessageEvent<ExportReply>) => {
      const reply = event.data;
      if (reply.kind === 'progress') onProgress(reply.words);
      else if (reply.kind === 'done') resolve(reply);
      else reject(new Error(reply.message));
    };
    worker.onerror = (event) => reject(new Error(event.message || 'the work could not start'));
    worker.postMessage(request);
  });
}
