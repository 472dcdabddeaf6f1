import type { ExportedFile, ExportedTables, ExportReply, ExportRequest, TablesRequest } from './export-messages.ts';

export function startExportWorker(): Worker {
  return new Worker(new URL('./export-worker.ts', import.meta.url), { type: 'module' });
}

/**
 * Rejects when the worker says that it failed or could not start; never settles once the worker was ended. By hand: see
 * `CheckRunner`.
 */
function ask(worker: Worker, request: ExportRequest, onReply: (reply: ExportReply) => boolean): Promise<void> {
  return new Promise((resolve, reject) => {
    worker.onmessage = (event: MessageEvent<ExportReply>) => {
      const reply = event.data;
      if (reply.kind === 'failed') reject(new Error(reply.message));
      else if (onReply(reply)) resolve();
    };
    worker.onerror = (event) => reject(new Error(event.message || 'the work could not start'));
    worker.postMessage(request);
  });
}

/** Lets the worker write the tables of a race. */
export async function exportTables(
  worker: Worker,
  request: Omit<TablesRequest, 'kind'>,
  onProgress: (words: string) => void,
): Promise<ExportedTables> {
  let done: ExportedTables = { files: [], said: [], anonymity: null, findings: null };
  await ask(worker, { kind: 'tables', ...request }, (reply) => {
    if (reply.kind === 'progress') onProgress(reply.words);
    if (reply.kind === 'done') done = reply;
    return reply.kind === 'done';
  });
  return done;
}

/** Lets the worker pack files into one zip. */
export async function packFiles(worker: Worker, files: readonly ExportedFile[]): Promise<Blob> {
  let zip = new Blob();
  await ask(worker, { kind: 'pack', files }, (reply) => {
    if (reply.kind === 'packed') zip = reply.zip;
    return reply.kind === 'packed';
  });
  return zip;
}
