/** `1 sighting`, `7 sightings`. */
export const one = (n: number, word: string): string => `${n} ${word}${n === 1 ? '' : 's'}`;
export const plainPercent = (share: number): string => `${(100 * share).toFixed(1)} %`;
