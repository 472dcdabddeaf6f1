import { createReadStream, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));

/**
 * Serves the frame harness and the clips of a folder on a free local port, until it is closed.
 * @param {string} folder
 */
export async function serveFrames(folder) {
  const bundle = await rolldown({
    input: join(ROOT, 'tests/helpers/screen/frames-harness.ts'),
    platform: 'browser',
    resolve: { alias: { $lib: join(ROOT, 'src/lib') } },
    logLevel: 'silent',
  });
  const { output } = await bundle.generate({ format: 'esm', codeSplitting: false });
  await bundle.close();
  const code = output[0].code;
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url ?? '/', 'http://localhost');
    if (pathname === '/') {
      response.setHeader('content-type', 'text/html');
      response.end(
        '<!doctype html><title>frames</title><input type="file"><script type="module" src="/harness.js"></script>',
      );
    } else if (pathname === '/harness.js') {
      response.setHeader('content-type', 'text/javascript');
      response.end(code);
    } else {
      const path = join(folder, pathname);
      try {
        response.setHeader('content-length', statSync(path).size);
        createReadStream(path).pipe(response);
      } catch {
        response.statusCode = 404;
        response.end();
      }
    }
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', () => resolve(undefined)));
  const { port } = /** @type {import('node:net').AddressInfo} */ (server.address());
  return {
    address: `http://127.0.0.1:${port}/`,
    close: () => new Promise((resolve) => server.close(resolve)),
  };
}
