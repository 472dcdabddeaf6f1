import { createPrivateKey, X509Certificate } from 'node:crypto';
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import process from 'node:process';

/** A private key and its certificate, PEM. */
export interface KeyPair {
  readonly key: string;
  readonly cert: string;
}

const PARTS = /-----BEGIN ([A-Z ]+)-----[^-]+-----END \1-----\n?/g;

/** Whether the key belongs to the certificate; false too when one of them cannot be read. */
export function isPair({ key, cert }: KeyPair): boolean {
  try {
    return new X509Certificate(cert).checkPrivateKey(createPrivateKey(key));
  } catch {
    return false;
  }
}

/**
 * The pair kept under this name, or null when there is none that fits together. Key and certificate are one file, so that
 * none is ever there without the other; earlier versions kept two, which go on being read.
 */
export function readPair(folder: string, name: string): KeyPair | null {
  const pair =
    readOne(join(folder, `${name}.pem`)) ?? readTwo(join(folder, `${name}.key`), join(folder, `${name}.crt`));
  return pair && isPair(pair) ? pair : null;
}

/** Keeps a pair: whole and on the disk, or as it was before. */
export function keepPair(folder: string, name: string, { key, cert }: KeyPair): void {
  const file = join(folder, `${name}.pem`);
  const part = `${file}.${process.pid}.part`;
  writeFileSync(part, `${key.trim()}\n${cert.trim()}\n`, { mode: 0o600, flush: true });
  renameSync(part, file);
  // For people alone, who may look at it; what is served is read from the pair.
  writeFileSync(join(folder, `${name}.crt`), cert, { mode: 0o600 });
  const handle = openSync(dirname(file), 'r');
  fsyncSync(handle);
  closeSync(handle);
}

function readOne(file: string): KeyPair | null {
  const text = textOf(file);
  if (text === null) return null;
  const parts = [...text.matchAll(PARTS)];
  const [key] = parts.filter(([, label]) => label?.endsWith('PRIVATE KEY'));
  const certs = parts.filter(([, label]) => label === 'CERTIFICATE');
  return key && certs.length > 0 ? { key: key[0], cert: certs.map(([cert]) => cert).join('') } : null;
}

function readTwo(keyFile: string, certFile: string): KeyPair | null {
  const key = textOf(keyFile);
  const cert = textOf(certFile);
  return key === null || cert === null ? null : { key, cert };
}

function textOf(file: string): string | null {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}
