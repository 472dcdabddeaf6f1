/** A page in the background paints nothing: then it is done after this. */
const LATEST_MS = 100;

/** Does `work` once the frame that shows what has changed so far has been painted. */
export function afterPaint(work: () => void): void {
  let done = false;
  const once = () => {
    if (done) return;
    done = true;
    work();
  };
  requestAnimationFrame(() => setTimeout(once));
  setTimeout(once, LATEST_MS);
}
