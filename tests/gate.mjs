// The one gate: every check a change has to pass, in the order in which a fault shows soonest. `npm test` runs it.
import { spawnSync } from 'node:child_process';
import { chromiumPath } from './helpers/chromium.mjs';

const started = Date.now();
const steps = [
  ['format', 'npx', ['prettier', '--check', '--log-level', 'warn', '.']],
  ['types', 'npm', ['run', '--silent', 'check']],
  ['lint', 'npm', ['run', '--silent', 'lint']],
  // The hub's tests speak to the built hub.
  ['build', 'npm', ['run', '--silent', 'build']],
  ['unit, property and hub tests', 'npx', ['vitest', 'run']],
  ['browser tests', 'npx', ['playwright', 'test']],
];

function ensureChromium() {
  if (chromiumPath()) return;
  console.log(
    'No Chromium found (CHROMIUM_PATH, chromium, google-chrome): trying to install the chromium package with apt-get.',
  );
  const options = { stdio: 'inherit', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } };
  spawnSync('apt-get', ['update', '-qq'], options);
  spawnSync('apt-get', ['install', '-y', '-qq', 'chromium', 'fonts-dejavu-core'], options);
  if (chromiumPath()) return;
  console.error(
    'The browser tests need Chromium and it could not be installed here. Install it, or set CHROMIUM_PATH to it.',
  );
  process.exit(1);
}

ensureChromium();
for (const [name, command, args] of steps) {
  const from = Date.now();
  console.log(`\n== ${name}`);
  const run = spawnSync(command, args, { stdio: 'inherit' });
  const seconds = ((Date.now() - from) / 1000).toFixed(0);
  if (run.status !== 0) {
    console.error(`\n${name} failed after ${seconds} s.`);
    process.exit(run.status ?? 1);
  }
  console.log(`== ${name}: ${seconds} s`);
}
console.log(`\nAll checks passed in ${((Date.now() - started) / 1000).toFixed(0)} s.`);
console.log(`${steps.length} passed, 0 failed`);
