import { hostname, networkInterfaces } from 'node:os';

/**
 * Whether a `Host` header names this hub: by `localhost`, the machine's name, an address of it, or a name given. A page
 * elsewhere whose name leads here (it can be made to) would else be served as the hub's own.
 *
 * @param given more names or addresses, such as of a server that stands before the hub
 */
export function namesThisHub(header: string, given: readonly string[]): boolean {
  const host = hostOf(header);
  const own = [
    'localhost',
    hostname(),
    `${hostname()}.local`,
    ...given,
    ...Object.values(networkInterfaces()).flatMap((all) => (all ?? []).map(({ address }) => address)),
  ];
  return /^127(\.\d{1,3}){3}$/.test(host) || own.some((name) => name.toLowerCase() === host);
}

/** The host of a header `host:port`, in lower case and without the brackets of an IPv6 address. */
function hostOf(header: string): string {
  return header
    .toLowerCase()
    .replace(/:\d*$/, '')
    .replace(/^\[(.*)\]$/, '$1');
}

/** Names given besides: `KERBSIDE_NAMES` (with commas), `HOST` and the host of `ORIGIN`. */
export function givenNames(env: Readonly<Record<string, string | undefined>>): string[] {
  const origin = URL.parse(env['ORIGIN'] ?? '')?.hostname ?? '';
  const names = [...(env['KERBSIDE_NAMES'] ?? '').split(','), env['HOST'] ?? '', origin];
  return names.map((name) => hostOf(name.trim())).filter((name) => name !== '' && name !== '0.0.0.0' && name !== '::');
}
