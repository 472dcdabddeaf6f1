// Finds the code in camera pictures off the page.
import { codeIn } from './code-in-picture.ts';
import type { CodeAnswer, CodeAsked } from './code-messages.ts';

onmessage = async ({ data: { ask, picture, square } }: MessageEvent<CodeAsked>) => {
  const answer = (message: CodeAnswer) => postMessage(message);
  try {
    answer({ ask, text: await codeIn(picture, square) });
  } catch (error) {
    answer({ ask, text: null, fault: error instanceof Error ? error.message : String(error) });
  } finally {
    picture.close();
  }
};
