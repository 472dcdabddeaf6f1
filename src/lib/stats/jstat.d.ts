/** The part of jstat that is used here; the package brings no types of its own. */
declare module 'jstat' {
  export const jStat: {
    /** Arithmetic mean. */
    mean(values: ArrayLike<number>): number;
  };
}
