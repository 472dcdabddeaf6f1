/** Stands behind an observer's code where they reviewed clips: live and on clips one person is two raters. */
export const CLIP_MARK = ' (clip)';

export const raterName = (observer: string, clip: boolean): string => (clip ? `${observer}${CLIP_MARK}` : observer);
