/** Pictures a second at which a film is looked through: two for each code. */
const STEPS_A_SECOND = 24;

/** Opens a film in a video element; `null` when this browser cannot play it. */
export async function openFilm(file: File): Promise<{ video: HTMLVideoElement; close: () => void } | null> {
  const url = URL.createObjectURL(file);
  const video = document.createElement('video');
  const close = () => {
    video.removeAttribute('src');
    URL.revokeObjectURL(url);
  };
  video.muted = true;
  video.playsInline = true;
  video.preload = 'auto';
  const opened = await new Promise<boolean>((resolve) => {
    video.onloadeddata = () => resolve(video.videoWidth > 0);
    video.onerror = () => resolve(false);
    video.src = url;
  });
  if (opened) return { video, close };
  close();
  return null;
}

/** Steps through a film, from picture to picture; the share that was stepped through, 0 to 1. */
export async function* filmSteps(video: HTMLVideoElement): AsyncGenerator<number> {
  const seconds = await lengthOf(video);
  const steps = Math.floor(seconds * STEPS_A_SECOND);
  for (let step = 0; step < steps; step += 1) {
    // The middle of a step: seeking to a picture's very beginning often shows the one before.
    await seek(video, (step + 0.5) / STEPS_A_SECOND);
    yield (step + 1) / steps;
  }
}

/** Films that were recorded in one go may not say how long they are until they were looked for their end. */
async function lengthOf(video: HTMLVideoElement): Promise<number> {
  if (Number.isFinite(video.duration)) return video.duration;
  await seek(video, Number.MAX_SAFE_INTEGER);
  return Number.isFinite(video.duration) ? video.duration : video.currentTime;
}

function seek(video: HTMLVideoElement, seconds: number): Promise<void> {
  return new Promise((resolve) => {
    video.onseeked = () => resolve();
    // A damaged film is read as far as it goes.
    video.onerror = () => resolve();
    video.currentTime = seconds;
  });
}
