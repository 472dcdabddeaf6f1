/** An invented hand-off file of `count` records, the same for the same count and seed. */
export function makeRecords(count: number, seed?: number): string;
