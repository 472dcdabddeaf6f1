/** Waits for the next task, so that the page answers and draws what waited meanwhile. */
export function nextTask(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve));
}
