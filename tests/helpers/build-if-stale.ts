import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, rmdirSync, mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const SOURCES = [
  'src/lib/server',
  'src/lib/records',
  'src/lib/race',
  'src/lib/wire',
  'src/routes/api',
  'src/hooks.server.ts',
  'src/cli/serve.ts',
];

function newest(path: string): number {
  const stat = statSync(path);
  if (!stat.isDirectory()) return stat.mtimeMs;
  return Math.max(0, ...readdirSync(path).map((name) => newest(join(path, name))));
}

function isStale(): boolean {
  const built = join(ROOT, 'build/cli/serve.js');
  return !existsSync(built) || statSync(built).mtimeMs < Math.max(...SOURCES.map((path) => newest(join(ROOT, path))));
}

/** Builds the app and the hub if the hub's sources are newer than what was built. Test files that run at once wait. */
export async function buildIfStale(): Promise<void> {
  if (!isStale()) return;
  const lock = join(ROOT, 'node_modules/.kerbside-build-lock');
  for (let tries = 0; ; tries += 1) {
    try {
      mkdirSync(lock);
      break;
    } catch (error) {
      if (tries > 600) throw error;
      await sleep(200);
    }
  }
  try {
    if (!isStale()) return;
    const run = spawnSync('npm', ['run', '--silent', 'build'], { cwd: ROOT, encoding: 'utf8' });
    if (run.status !== 0) throw new Error(`the build failed:\n${run.stdout}${run.stderr}`);
  } finally {
    rmdirSync(lock);
  }
}
