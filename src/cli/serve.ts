import { readFileSync } from 'node:fs';
import { createServer as createHttpServer, type RequestListener, type Server, type ServerResponse } from 'node:http';
import { createServer as createHttpsServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import process from 'node:process';
import { pathToFileURL } from 'node:url';
import { AUTHORITY_PATH, hubAddresses, type Listening, networkAddresses } from '../lib/server/addresses.ts';
import { hubCertificate } from '../lib/server/authority.ts';
import { noteFailedHandshakes } from '../lib/server/failed-handshakes.ts';
import { givenNames, namesThisHub } from '../lib/server/host-names.ts';
import { isPair } from '../lib/server/key-pair.ts';
import { SECURITY_HEADERS } from '../lib/server/security-headers.ts';
import { SecurityLog } from '../lib/server/security-log.ts';

const USAGE = `Serves the app and the hub.

  npm start [-- --https]

Environment: PORT (4173), HOST (all addresses), KERBSIDE_DATA (data/), DATABASE_URL (postgres://…, else SQLite in the data
folder), KERBSIDE_ORGANISER_KEY (else made at the first start), KERBSIDE_HTTPS=1 (as --https: https with a certificate of
the hub's own authority), KERBSIDE_TLS_CERT and KERBSIDE_TLS_KEY (https with these PEM files), KERBSIDE_TLS_PORT (PORT + 1),
KERBSIDE_NEW=1 (begin with no race where a store has been lost), KERBSIDE_NAMES (more names and addresses by which the hub
is reached, with commas; others get 421), KERBSIDE_CODES_DAYS (how many days after a race its join codes hold; else until
they are renewed).
`;

/** How long answers under way may take after the signal to stop. */
const GRACE_MS = 5_000;

interface Tls {
  readonly key: string | Buffer;
  readonly cert: string | Buffer;
  /** The own authority's certificate, for download, and its fingerprint. */
  readonly authority?: Buffer;
  readonly fingerprint?: string;
}

/** What answers a request; a promise where it takes its time. */
type Handler = (...of: Parameters<RequestListener>) => unknown;

/** The Node that is installed with the packages. */
const OWN_NODE = 24;

/** A mistake in how the hub was started, told in one line without a stack trace. */
class StartError extends Error {}

function portFrom(name: string, fallback: number): number {
  const text = process.env[name];
  if (text === undefined || text === '') return fallback;
  const port = Number(text);
  if (!Number.isInteger(port) || port < 0 || port > 65_535)
    throw new StartError(`${name}=${text} is not a port number.`);
  return port;
}

async function readTls(dataFolder: string): Promise<Tls | null> {
  const certFile = process.env['KERBSIDE_TLS_CERT'];
  const keyFile = process.env['KERBSIDE_TLS_KEY'];
  if (certFile && keyFile) {
    const given = { cert: readFileSync(certFile, 'utf8'), key: readFileSync(keyFile, 'utf8') };
    if (!isPair(given))
      throw new StartError(
        `${keyFile} is not the key of the certificate ${certFile}, or one of them is not a PEM file.`,
      );
    return given;
  }
  if (certFile || keyFile) throw new StartError('KERBSIDE_TLS_CERT and KERBSIDE_TLS_KEY go together: one is missing.');
  const wanted = process.argv.includes('--https') || process.env['KERBSIDE_HTTPS'] === '1';
  return wanted ? hubCertificate(dataFolder, networkAddresses(), Date.now()) : null;
}

/** The built app and hub. Loading it opens the store. */
async function loadHandler(): Promise<Handler> {
  // The hub itself holds bodies to the limits of each call and answers in its own form.
  process.env['BODY_SIZE_LIMIT'] = 'Infinity';
  process.env['PROTOCOL_HEADER'] ??= 'x-kerbside-protocol';
  const path = join(import.meta.dirname, '..', 'handler.js');
  const built = (await import(pathToFileURL(path).href)) as { handler: Handler };
  return built.handler;
}

/** Adds what is the same for every answer, static files included. */
function listener(handler: Handler, protocol: 'http' | 'https', tls: Tls | null): RequestListener {
  const names = givenNames(process.env);
  return (request, response) => {
    for (const [name, value] of Object.entries(SECURITY_HEADERS)) response.setHeader(name, value);
    request.headers['x-kerbside-protocol'] = protocol;
    const url = request.url ?? '/';
    if (!namesThisHub(request.headers.host ?? '', names)) {
      const message = 'This hub goes by another name. List its names in KERBSIDE_NAMES, separated by commas.';
      response.writeHead(421, { 'content-type': 'application/json; charset=utf-8', connection: 'close' });
      response.end(JSON.stringify({ error: { code: 'wrong-host', message } }));
    } else if (url === AUTHORITY_PATH && tls?.authority) {
      response.setHeader('content-type', 'application/x-x509-ca-cert');
      response.setHeader('content-disposition', 'attachment; filename="kerbside-authority.crt"');
      response.end(tls.authority);
    } else if (url.startsWith('/api/') && !isDecodable(url)) {
      response.writeHead(400, { 'content-type': 'application/json; charset=utf-8' });
      response.end('{"error":{"code":"malformed","message":"The address has a faulty % sign."}}');
    } else {
      const failed = (error: unknown) => failRequest(`${request.method ?? ''} ${url}`, response, error);
      // A file of the built app can be gone when it is opened. Nobody else hears of it, and unheard it would end the hub.
      response.on('pipe', (source) => source.on('error', failed));
      void settled(() => handler(request, response)).catch(failed);
    }
  };
}

/** The end of `work`, whether it fails at once or later. */
async function settled(work: () => unknown): Promise<void> {
  await work();
}

/** Ends this one request as failed and says so on standard error; all others go on. */
function failRequest(what: string, response: ServerResponse, error: unknown): void {
  console.error(`${what} failed:`, error);
  if (response.headersSent) response.destroy();
  else {
    response.writeHead(500, { 'content-type': 'text/plain; charset=utf-8', connection: 'close' });
    response.end('The hub could not answer this request. Try again.');
  }
}

function isDecodable(url: string): boolean {
  try {
    decodeURI(url);
    return true;
  } catch {
    return false;
  }
}

/** Resolves with the port once it listens. */
function listen(server: Server, port: number, host: string): Promise<number> {
  // Browsers send the next request on a connection that was idle for a while: it must not be closing just then.
  server.keepAliveTimeout = 65_000;
  // One that neither sends nor takes anything is gone; an event stream says something every 15 seconds.
  server.setTimeout(60_000);
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE') {
        reject(
          new StartError(`Port ${port} is in use, perhaps by another hub. Stop that one, or choose another PORT.`),
        );
      } else if (error.code === 'EACCES')
        reject(new StartError(`Port ${port} may not be used: choose one above 1023.`));
      else if (error.code === 'EADDRNOTAVAIL' || error.code === 'ENOTFOUND') {
        reject(new StartError(`HOST=${host} is not an address of this machine.`));
      } else reject(error);
    });
    server.listen(port, host, () => resolve((server.address() as AddressInfo).port));
  });
}

function printAddresses(listening: Listening, tls: Tls | null): void {
  const { addresses } = hubAddresses(listening);
  console.log('Kerbside is open at');
  for (const { url, local } of addresses) console.log(`    ${url}${local ? '   (this machine)' : ''}`);
  if (!tls?.fingerprint) return;
  const plain = addresses.find(({ secure, local }) => !secure && !local) ?? addresses.find(({ secure }) => !secure);
  console.log(`Tablets trust this hub's https once they have installed ${plain?.url ?? ''}${AUTHORITY_PATH}`);
  console.log(`Its SHA-256 fingerprint is ${tls.fingerprint}`);
}

function stopOnSignal(servers: readonly Server[]): void {
  let stopping = false;
  const stop = (): void => {
    if (stopping) return;
    stopping = true;
    const emit = (name: string) => (process as NodeJS.EventEmitter).emit(name, 'SIGTERM');
    emit('kerbside:stopping');
    const closed = servers.map((server) => new Promise<void>((resolve) => server.close(() => resolve())));
    // Whatever is still under way then has not been answered, and its client sends it again.
    setTimeout(() => servers.forEach((server) => server.closeAllConnections()), GRACE_MS).unref();
    setTimeout(() => process.exit(1), 2 * GRACE_MS).unref();
    void Promise.all(closed).then(() => emit('sveltekit:shutdown'));
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
}

async function serve(): Promise<void> {
  if (process.argv.includes('--help')) {
    console.log(USAGE);
    return;
  }
  // The driver of the database was built for the own Node: an older one that loads it dies without a word.
  const { node } = process.versions;
  if (Number.parseInt(node, 10) < OWN_NODE)
    throw new StartError(`It runs on the Node ${OWN_NODE} installed with it, this is ${node}: use "npm run serve".`);
  const host = process.env['HOST'] || '0.0.0.0';
  const port = portFrom('PORT', 4173);
  const tlsPort = portFrom('KERBSIDE_TLS_PORT', port === 0 ? 0 : port + 1);
  const tls = await readTls(process.env['KERBSIDE_DATA'] || 'data');
  const handler = await loadHandler();
  const plain = createHttpServer(listener(handler, 'http', tls));
  const secure = tls ? createHttpsServer({ key: tls.key, cert: tls.cert }, listener(handler, 'https', tls)) : null;
  if (secure) noteFailedHandshakes(secure, new SecurityLog(Date.now, (line) => console.error(line)));
  const servers = secure ? [plain, secure] : [plain];
  stopOnSignal(servers);
  const listening: Listening = {
    host,
    http: await listen(plain, port, host),
    https: secure ? await listen(secure, tlsPort, host) : null,
    ownAuthority: tls?.authority !== undefined,
  };
  process.env['KERBSIDE_LISTENS'] = JSON.stringify(listening);
  printAddresses(listening, tls);
}

/** What to tell whoever started the hub, in place of a stack trace where the cause is outside the program. */
function explain(error: unknown): string {
  if (error instanceof StartError || (error as Error).name === 'StartFault') return (error as Error).message;
  const { code, path, message } = error as NodeJS.ErrnoException;
  const folder = process.env['KERBSIDE_DATA'] || 'data';
  if (code === 'ERR_MODULE_NOT_FOUND') return `The app is not built: run "npm run build" first. (${message})`;
  if (code === 'EACCES' || code === 'EROFS' || code === 'EPERM' || code === 'ENOTDIR') {
    return `The data folder ${folder} cannot be written (${path ?? message}). Choose another with KERBSIDE_DATA.`;
  }
  if (code === 'ENOENT' && path) return `${path} is not there.`;
  if (process.env['DATABASE_URL']) return `The store at DATABASE_URL cannot be used: ${message || code || 'no answer'}`;
  return error instanceof Error ? message : String(error);
}

try {
  await serve();
} catch (error) {
  console.error(`Kerbside could not start. ${explain(error)}`);
  process.exit(1);
}
