import { once } from 'node:events';
import { createServer } from 'node:https';
import { type AddressInfo, connect } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { noteFailedHandshakes } from './failed-handshakes.ts';
import { SecurityLog } from './security-log.ts';

// No certificate is needed to fail before it would be shown.
test('says who came to the https port without TLS, and goes on', async () => {
  const now = Date.parse('2026-10-04T07:30:00.000Z');
  const server = createServer();
  onTestFinished(() => void server.close());
  const lines: string[] = [];
  noteFailedHandshakes(
    server,
    new SecurityLog(
      () => now,
      (line) => lines.push(line),
    ),
  );
  await once(server.listen(0, '127.0.0.1'), 'listening');
  const socket = connect((server.address() as AddressInfo).port, '127.0.0.1');
  socket.on('error', () => undefined);
  socket.end('GET / HTTP/1.1\r\n\r\n');
  await once(socket.resume(), 'close');
  await expect.poll(() => lines).toEqual(['2026-10-04T07:30:00.000Z tls-failed: ERR_SSL_HTTP_REQUEST from 127.0.0.1']);
  expect(server.listening).toBe(true);
});
