const LONGEST_WAIT_MS = 200;

/** Waits until the video shows another picture, at most a fifth of a second: a camera that stalls must not hang the rest. */
export function nextPicture(video: HTMLVideoElement): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, LONGEST_WAIT_MS);
    const shown = () => {
      clearTimeout(timer);
      resolve();
    };
    if ('requestVideoFrameCallback' in video) video.requestVideoFrameCallback(shown);
    else requestAnimationFrame(shown);
  });
}
