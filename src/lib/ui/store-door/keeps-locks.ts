/**
 * In WebKit a worker that is ended or frozen in the middle of a transaction keeps its locks, and whoever wants the same table
 * waits for ever; nothing but the engine's name tells it beforehand. Elsewhere a worker that reads by itself spares the page.
 */
export const keepsLocks = () => navigator.vendor.startsWith('Apple');
