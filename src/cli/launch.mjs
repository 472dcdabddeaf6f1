// Starts the command line from its sources: Node takes their types off, and keeps what it compiled for the next start.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import module from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const modules = fileURLToPath(new URL('../../node_modules', import.meta.url));
if (!existsSync(modules)) {
  console.error('kerbside: the packages are not installed; run "npm install" first.');
  process.exit(1);
}
if (!process.features.typescript) {
  // An older Node, called without npm: the one that was installed with the packages knows types.
  const node = join(modules, 'node', 'bin', process.platform === 'win32' ? 'node.exe' : 'node');
  const { status } = spawnSync(node, process.argv.slice(1), { stdio: 'inherit' });
  process.exit(status ?? 1);
}
// Threads find the cache by the environment. Where it may not be written, Node goes on without one.
process.env.NODE_COMPILE_CACHE ??= join(modules, '.cache', 'kerbside');
module.enableCompileCache(process.env.NODE_COMPILE_CACHE);
await import('./kerbside.ts');
