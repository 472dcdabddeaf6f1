import { createHash, X509Certificate } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, expect, test } from '@playwright/test';
import { chromiumPath } from '../helpers/browser/chromium.mjs';
import { freePort } from '../helpers/free-port.ts';
import { startHub } from '../helpers/hub/start-hub.mjs';

// Chromium is told to trust the hub's own certificate by its public key, as a tablet does once the authority is installed:
// putting an authority into the system's trust store would change the machine that runs the tests. That the authority
// vouches for the certificate is checked beside it.
test('over https with its own authority the hub gives a service worker, from the network too', async () => {
  const httpsPort = await freePort();
  const env = { KERBSIDE_HTTPS: '1', KERBSIDE_TLS_PORT: String(httpsPort) };
  const hub = await startHub({ port: await freePort(), key: 'invented-organiser-key-0123', env });
  const certificate = new X509Certificate(readFileSync(join(hub.data, 'tls', 'hub.crt')));
  const answer = await fetch(`${hub.url}/kerbside-authority.crt`);
  expect(answer.headers.get('content-type')).toBe('application/x-x509-ca-cert');
  const authority = new X509Certificate(Buffer.from(await answer.arrayBuffer()));
  expect(authority.ca).toBe(true);
  expect(certificate.verify(authority.publicKey) && certificate.checkIssued(authority)).toBe(true);
  expect(certificate.checkIP('127.0.0.1') && certificate.checkHost('localhost')).toBeTruthy();

  const pin = createHash('sha256')
    .update(certificate.publicKey.export({ type: 'spki', format: 'der' }))
    .digest('base64');
  const browser = await chromium.launch({
    executablePath: chromiumPath(),
    args: ['--no-sandbox', '--disable-gpu', `--ignore-certificate-errors-spki-list=${pin}`],
  });
  try {
    const page = await browser.newPage({ serviceWorkers: 'allow' });
    await page.goto(`https://localhost:${httpsPort}/`);
    expect(await page.evaluate(() => window.isSecureContext)).toBe(true);
    const scope = await page.evaluate(async () => (await navigator.serviceWorker.ready).scope);
    expect(scope).toBe(`https://localhost:${httpsPort}/`);
    // A page that came over https may write to the hub: it is the hub's own.
    const status = await page.evaluate(async () => {
      const headers = { 'content-type': 'application/json' };
      return (await fetch('/api/v1/join', { method: 'POST', headers, body: '{"code":"x","device":"d"}' })).status;
    });
    expect(status).toBe(401);
  } finally {
    await browser.close();
    await hub.end();
  }
});
