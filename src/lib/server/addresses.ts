import { networkInterfaces } from 'node:os';
import type { HubAddresses } from '../wire/wire.ts';

/** How the hub is reached: what its entry listens on. It is handed over in the environment variable `KERBSIDE_LISTENS`. */
export interface Listening {
  /** The host given, or `0.0.0.0` or `::` for all of this machine's addresses. */
  readonly host: string;
  readonly http: number | null;
  readonly https: number | null;
  /** Whether the certificate is one of the hub's own authority. */
  readonly ownAuthority: boolean;
}

export const AUTHORITY_PATH = '/kerbside-authority.crt';

/** This machine's IPv4 addresses in its local networks, those that look like a home or club network first. */
export function networkAddresses(): string[] {
  const rank = (address: string) => (address.startsWith('192.168.') ? 0 : address.startsWith('10.') ? 1 : 2);
  return Object.values(networkInterfaces())
    .flatMap((all) => all ?? [])
    .filter(({ family, internal, address }) => family === 'IPv4' && !internal && !address.startsWith('169.254.'))
    .map(({ address }) => address)
    .sort((a, b) => rank(a) - rank(b));
}

/** Every address at which a browser finds the hub: those of the network first, secure ones before plain ones. */
export function hubAddresses({ host, http, https, ownAuthority }: Listening): HubAddresses {
  const everywhere = host === '0.0.0.0' || host === '::';
  const isLocal = (name: string) => name === 'localhost' || name === '::1' || name.startsWith('127.');
  const names = everywhere ? [...networkAddresses(), 'localhost'] : [host];
  const url = (scheme: 'http' | 'https', name: string, port: number): string => {
    const shown = name.includes(':') ? `[${name}]` : name;
    return new URL(`${scheme}://${shown}:${port}`).origin;
  };
  const addresses = names.flatMap((name) => [
    ...(https === null ? [] : [{ url: url('https', name, https), secure: true, local: isLocal(name) }]),
    ...(http === null ? [] : [{ url: url('http', name, http), secure: false, local: isLocal(name) }]),
  ]);
  return { addresses, authority: ownAuthority ? AUTHORITY_PATH : null };
}
