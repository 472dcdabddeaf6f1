/** Said with every answer. What scripts and styles may do stands in the pages' own content policy. */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(self), microphone=(), geolocation=(), payment=(), usb=()',
};

/**
 * Whether a request comes from a page that this host did not serve. Programs that are no browser send no `Origin`. The
 * scheme is left out: behind a server that ends TLS the hub does not know it, and one host and port speak one scheme.
 */
export function isForeign(headers: Headers): boolean {
  const origin = headers.get('origin');
  if (origin === null) return headers.get('sec-fetch-site') === 'cross-site';
  try {
    return new URL(origin).host !== headers.get('host')?.toLowerCase();
  } catch {
    return true;
  }
}
