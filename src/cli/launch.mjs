// Starts the built command line, building it first when it is missing or older than its sources.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const built = join(root, 'build', 'cli', 'kerbside.js');

function newestSource(folder) {
  let newest = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) newest = Math.max(newest, newestSource(path));
    else if (entry.name.endsWith('.ts')) newest = Math.max(newest, statSync(path).mtimeMs);
  }
  return newest;
}

const sources = ['cli', 'lib/domain', 'lib/stats', 'lib/findings', 'lib/tables'].map((f) => join(root, 'src', f));
const stale = !existsSync(built) || statSync(built).mtimeMs < Math.max(...sources.map(newestSource));
if (stale) {
  const rolldown = join(root, 'node_modules', 'rolldown', 'bin', 'cli.mjs');
  if (!existsSync(rolldown)) {
    console.error('kerbside: the packages are not installed; run "npm install" first.');
    process.exit(1);
  }
  const build = spawnSync(
    process.execPath,
    [rolldown, '--config', join(root, 'rolldown.config.js'), '--log-level', 'silent'],
    {
      cwd: root,
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  if (build.status !== 0) process.exit(build.status ?? 1);
}
await import(pathToFileURL(built).href);
