let last: Promise<unknown> = Promise.resolve();

/** Runs `draw` in a task of its own after those asked for before: twelve pictures must not hold up one tap. */
export function drawInTurn(draw: () => void): void {
  last = last.then(
    () =>
      new Promise<void>((done) => {
        setTimeout(() => {
          try {
            draw();
          } finally {
            done();
          }
        }, 0);
      }),
  );
}
