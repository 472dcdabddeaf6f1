import { hostname, networkInterfaces } from 'node:os';

/**
 * Whether a `Host` header names this hub: by `localhost`, the machine's name, an address of it, or a name given. A page
 * elsewhere whose name leads here (it can be made to) would else be served as the hub's own.
 *
 * @param given more names or addresses, such as of a server that stands before the hub
 */
export function namesThisHub(header: string, given: readonly string[]): boolean {
  const host = hostOf(header);
  if (/^127(\.\d{1,3}){3}$/.test(host) || given.some((name) => name.toLowerCase() === host)) return true;
  return ownNames(REMEMBERED_MS).has(host) || ownNames(LOOKED_FOR_MS).has(host);
}

/** Addresses of a machine change rarely, and asking for them at every call took a tenth of its time. */
const REMEMBERED_MS = 10_000;
/** A name that is not among them may be new: it is looked for so often at most. */
const LOOKED_FOR_MS = 1_000;

let known: { readonly names: ReadonlySet<string>; readonly at: number } | undefined;

/** The machine's own names and addresses, as they were at most `ageMs` ago. */
function ownNames(ageMs: number): ReadonlySet<string> {
  const now = performance.now();
  if (!known || now - known.at > ageMs) {
    const addresses = Object.values(networkInterfaces()).flatMap((all) => (all ?? []).map(({ address }) => address));
    const names = ['localhost', hostname(), `${hostname()}.local`, ...addresses].map((name) => name.toLowerCase());
    known = { names: new Set(names), at: now };
  }
  return known.names;
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
