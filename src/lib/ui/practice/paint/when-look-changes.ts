/** Calls `refresh` when the canvas changes its size or the device its theme, until the function that comes back is called. */
export function whenLookChanges(canvas: HTMLCanvasElement, refresh: () => void): () => void {
  const size = new ResizeObserver(() => refresh());
  size.observe(canvas);
  const dark = window.matchMedia('(prefers-color-scheme: dark)');
  const themed = () => refresh();
  dark.addEventListener('change', themed);
  return () => {
    dark.removeEventListener('change', themed);
    size.disconnect();
  };
}
