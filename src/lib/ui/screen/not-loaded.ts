/** Said when code that is loaded on a press does not come: no network, and not kept for offline use yet. */
export const NOT_LOADED = 'This part of the app did not load. Reload the page and try again.';
