// Starts the built command line, building it first when it is missing or older than its sources.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmdirSync, statSync } from 'node:fs';
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

// Every room may be part of the command line; the screens and the tablet's own storage are not.
const APART = new Set(['ui', 'store', 'sync']);
const rooms = readdirSync(join(root, 'src', 'lib'), { withFileTypes: true });
const sources = [
  join(root, 'src', 'cli'),
  ...rooms
    .filter((room) => room.isDirectory() && !APART.has(room.name))
    .map((room) => join(room.parentPath, room.name)),
];
const isStale = () => !existsSync(built) || statSync(built).mtimeMs < Math.max(...sources.map(newestSource));

const lock = join(root, 'build', '.cli-building');
const LONGEST_BUILD_MS = 120_000;

/** Whether this process may build; false while another does. A lock left by one that died does not hold for ever. */
function takeLock() {
  mkdirSync(dirname(lock), { recursive: true });
  try {
    mkdirSync(lock);
    return true;
  } catch (error) {
    if (error.code !== 'EEXIST') throw error;
    const since = statSync(lock, { throwIfNoEntry: false })?.mtimeMs;
    if (since !== undefined && Date.now() - since > LONGEST_BUILD_MS) rmdirSync(lock);
    return false;
  }
}

function build() {
  const rolldown = join(root, 'node_modules', 'rolldown', 'bin', 'cli.mjs');
  if (!existsSync(rolldown)) {
    console.error('kerbside: the packages are not installed; run "npm install" first.');
    return 1;
  }
  const args = [rolldown, '--config', join(root, 'rolldown.config.js'), '--log-level', 'silent'];
  return spawnSync(process.execPath, args, { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] }).status ?? 1;
}

// Two that start at once must not build over each other, nor load what is half written.
while (existsSync(lock) || isStale()) {
  if (!takeLock()) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    continue;
  }
  const status = isStale() ? build() : 0;
  rmdirSync(lock);
  if (status !== 0) process.exit(status);
  // Once is enough, even where a clock that is off makes the sources look newer still.
  break;
}
await import(pathToFileURL(built).href);
