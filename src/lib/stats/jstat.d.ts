/**
 * The part of jstat that is used here; the package brings no types of its own. It is CommonJS: only its default export
 * reaches Node without a bundler.
 */
declare module 'jstat' {
  const jStat: {
    /** Arithmetic mean. */
    mean(values: ArrayLike<number>): number;
  };
  export default jStat;
}
