import { X509Certificate } from 'node:crypto';
import { chmodSync, mkdirSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { generate } from 'selfsigned';
import { keepPair, type KeyPair, readPair } from './key-pair.ts';

const DAY_MS = 86_400_000;
const AUTHORITY_DAYS = 3650;
/** Apple's systems take no certificate that is valid for longer than 825 days; a year and a month is common practice. */
const HUB_DAYS = 397;
const RENEW_BEFORE_DAYS = 30;

export interface HubCertificate {
  /** PEM, for the TLS server. */
  readonly key: string;
  /** PEM: the hub's certificate, then its authority's. */
  readonly cert: string;
  /** DER: the authority's certificate, to be trusted on the tablets. */
  readonly authority: Buffer;
  /** SHA-256 of the authority's certificate, for people to compare before they trust it. */
  readonly fingerprint: string;
}

/**
 * The certificate for https in a local network, issued by an authority of this hub alone. Both are made when they are not
 * there and kept in the data folder (readable by their owner alone), and anew when key and certificate do not fit; the hub's
 * own also when the machine has got another address or it is about to run out, while the authority, which tablets trust, stays.
 *
 * @param addresses this machine's addresses in its networks
 * @param now the clock, milliseconds
 */
export async function hubCertificate(
  dataFolder: string,
  addresses: readonly string[],
  now: number,
): Promise<HubCertificate> {
  const folder = join(dataFolder, 'tls');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  chmodSync(folder, 0o700);
  const authority = await keptOrMade(
    folder,
    'authority',
    now,
    () => true,
    () => makeAuthority(now),
  );
  const names = ['localhost', hostname(), `${hostname()}.local`].filter((name) => /^[a-z0-9.-]+$/i.test(name));
  const ips = ['127.0.0.1', ...addresses];
  const hub = await keptOrMade(
    folder,
    'hub',
    now,
    (cert) =>
      cert.verify(new X509Certificate(authority.cert).publicKey) &&
      ips.every((ip) => cert.checkIP(ip)) &&
      names.every((name) => cert.checkHost(name)),
    () => makeHubCertificate(authority, names, ips, now),
  );
  const { raw, fingerprint256 } = new X509Certificate(authority.cert);
  return {
    key: hub.key,
    cert: `${hub.cert.trim()}\n${authority.cert.trim()}\n`,
    authority: raw,
    fingerprint: fingerprint256,
  };
}

async function keptOrMade(
  folder: string,
  name: string,
  now: number,
  fits: (certificate: X509Certificate) => boolean,
  make: () => Promise<KeyPair>,
): Promise<KeyPair> {
  const kept = readPair(folder, name);
  if (kept) {
    const certificate = new X509Certificate(kept.cert);
    if (certificate.validToDate.getTime() > now + RENEW_BEFORE_DAYS * DAY_MS && fits(certificate)) return kept;
  }
  const made = await make();
  keepPair(folder, name, made);
  return made;
}

async function makeAuthority(now: number): Promise<KeyPair> {
  const { private: key, cert } = await generate([{ name: 'commonName', value: `Kerbside hub on ${hostname()}` }], {
    keyType: 'ec',
    algorithm: 'sha256',
    notBeforeDate: new Date(now - DAY_MS),
    notAfterDate: new Date(now + AUTHORITY_DAYS * DAY_MS),
    extensions: [
      { name: 'basicConstraints', cA: true, pathLenConstraint: 0, critical: true },
      { name: 'keyUsage', keyCertSign: true, cRLSign: true, critical: true },
    ],
  });
  return { key, cert };
}

async function makeHubCertificate(
  ca: KeyPair,
  names: readonly string[],
  ips: readonly string[],
  now: number,
): Promise<KeyPair> {
  const { private: key, cert } = await generate([{ name: 'commonName', value: 'Kerbside hub' }], {
    keyType: 'ec',
    algorithm: 'sha256',
    // Tablets whose clocks are a little behind must not find it not yet valid.
    notBeforeDate: new Date(now - DAY_MS),
    notAfterDate: new Date(now + HUB_DAYS * DAY_MS),
    ca,
    extensions: [
      { name: 'basicConstraints', cA: false, critical: true },
      { name: 'keyUsage', digitalSignature: true, critical: true },
      { name: 'extKeyUsage', serverAuth: true },
      {
        name: 'subjectAltName',
        altNames: [
          ...names.map((value) => ({ type: 2 as const, value })),
          ...ips.map((ip) => ({ type: 7 as const, ip })),
        ],
      },
    ],
  });
  return { key, cert };
}
