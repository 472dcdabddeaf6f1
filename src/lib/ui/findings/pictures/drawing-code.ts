type DrawingCode = typeof import('$lib/ui/findings/pictures/draw-picture.ts');

let come: DrawingCode | undefined;

/** The drawing code, fetched when a page first asks for it. */
export async function drawingCode(): Promise<DrawingCode> {
  return (come ??= await import('$lib/ui/findings/pictures/draw-picture.ts'));
}

/** The drawing code if it has come: a sheet of paper waits for nothing. */
export const drawingCodeAtHand = (): DrawingCode | undefined => come;
