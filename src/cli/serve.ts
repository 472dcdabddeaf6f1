import { createServer } from 'node:http';
import { join } from 'node:path';
import process from 'node:process';
import { pathToFileURL } from 'node:url';

const port = Number(process.env['PORT'] ?? 4173);
const host = process.env['HOST'] ?? '0.0.0.0';
process.env['BODY_SIZE_LIMIT'] ??= String(17 * 1024 * 1024);
const built = (await import(pathToFileURL(join(import.meta.dirname, '..', 'handler.js')).href)) as {
  handler: Parameters<typeof createServer>[1];
};
createServer(built.handler).listen(port, host, () => {
  console.log(`Kerbside listens on http://${host === '0.0.0.0' ? 'localhost' : host}:${port}/`);
});
