/** Everything a screen shows lives on the device: pages are drawn there, so the cached shell can open any of them. */
export const ssr = false;
