import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));

/**
 * Starts the built hub with a data folder of its own. It can be killed and started again on the same data and port.
 *
 * @param {{ port: number, key: string, env?: Record<string, string>, data?: string, hear?: (text: string) => void }} options
 *   `env` adds to the hub's environment; `data` is a folder that is there already; `hear` gets what it says on standard error
 */
export async function startHub({ port, key, env = {}, data: given, hear }) {
  const data = given ?? mkdtempSync(join(tmpdir(), 'kerbside-hub-'));
  const url = `http://127.0.0.1:${port}`;
  /** @type {import('node:child_process').ChildProcess | undefined} */
  let hub;

  async function start() {
    // As `npm run serve` does: pages for many readers then lie in less memory.
    hub = spawn(process.execPath, ['--max-semi-space-size=16', join(ROOT, 'build/cli/serve.js')], {
      cwd: ROOT,
      stdio: ['ignore', 'ignore', hear ? 'pipe' : 'ignore'],
      env: {
        ...process.env,
        PORT: String(port),
        HOST: '127.0.0.1',
        KERBSIDE_DATA: data,
        KERBSIDE_ORGANISER_KEY: key,
        ...env,
      },
    });
    hub.stderr?.on('data', (chunk) => hear?.(String(chunk)));
    for (let tries = 0; tries < 1200; tries += 1) {
      const up = await fetch(`${url}/api/v1/health`).then(
        (answer) => answer.ok,
        () => false,
      );
      if (up) return;
      await sleep(50);
    }
    throw new Error(`no hub came up at ${url}`);
  }

  /** Kills it without warning, as a power cut would, and waits until it is gone. */
  async function kill() {
    if (!hub || hub.exitCode !== null || hub.signalCode !== null) return;
    const gone = new Promise((resolve) => hub?.once('exit', resolve));
    hub.kill('SIGKILL');
    await gone;
  }

  await start();
  return {
    url,
    data,
    pid: () => hub?.pid,
    start,
    kill,
    async end() {
      await kill();
      if (given === undefined) rmSync(data, { recursive: true, force: true });
    },
  };
}
