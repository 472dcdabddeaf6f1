// Serves the built app and hub from an empty data folder that goes when the tests end.
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const data = mkdtempSync(join(tmpdir(), 'kerbside-test-'));
const hub = spawn(process.execPath, ['build/cli/serve.js'], {
  stdio: 'inherit',
  env: { ...process.env, KERBSIDE_DATA: data },
});
const stop = () => hub.kill('SIGTERM');
process.on('SIGTERM', stop);
process.on('SIGINT', stop);
hub.on('exit', (code) => {
  rmSync(data, { recursive: true, force: true });
  process.exit(code ?? 0);
});
