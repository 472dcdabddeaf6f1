const TOLD_EVERY_MS = 60_000;

let since = 0;
let telling = false;

/** Counts an upload that its sender broke off: a guest who does so on purpose must not fill the log. */
export function countCancelled(): void {
  since += 1;
  if (telling) return;
  telling = true;
  setTimeout(() => {
    console.error(since === 1 ? '1 upload was broken off.' : `${since} uploads were broken off.`);
    since = 0;
    telling = false;
  }, TOLD_EVERY_MS).unref();
}

/** Whether an error is that the sender went away before its body was read. */
export function isCancelled(request: Request, error: unknown): boolean {
  return request.signal.aborted || (error instanceof Error && error.message === 'aborted');
}
