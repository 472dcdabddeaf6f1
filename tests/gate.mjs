// The one gate: every check a change has to pass, in the order in which a fault shows soonest. `npm test` runs it.
import { spawn, spawnSync } from 'node:child_process';
import { chromiumPath } from './helpers/browser/chromium.mjs';

const started = Date.now();
const stages = [
  [['format', 'npx', ['prettier', '--check', '--log-level', 'warn', '.']]],
  // The hub's tests speak to the built hub.
  [['build', 'npm', ['run', '--silent', 'build']]],
  // Types and lint keep one core busy each at most; the tests wait a good deal. Side by side they take half the time.
  [
    ['types', 'npm', ['run', '--silent', 'check']],
    ['lint', 'npm', ['run', '--silent', 'lint']],
    ['unit, property and hub tests', 'npx', ['vitest', 'run']],
  ],
  // What tablets have beside Chromium, where it is found.
  [['WebKitGTK and Firefox', 'npm', ['run', '--silent', 'test:engines']]],
  [['browser tests', 'npx', ['playwright', 'test']]],
];

function ensureChromium() {
  if (chromiumPath()) return;
  console.log('No Chromium found (CHROMIUM_PATH, chromium, google-chrome): trying to install one with apt-get.');
  const options = { stdio: 'inherit', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } };
  spawnSync('apt-get', ['update', '-qq'], options);
  for (const name of ['chromium-headless-shell', 'chromium']) {
    spawnSync('apt-get', ['install', '-y', '-qq', name, 'fonts-dejavu-core'], options);
    if (chromiumPath()) return;
  }
  console.error(
    'The browser tests need Chromium and it could not be installed here. Install it, or set CHROMIUM_PATH to it.',
  );
  process.exit(1);
}

ensureChromium();
/** Runs one step. Beside others its output waits until it ends, so that theirs is not mixed into it. */
function run([name, command, args], alone) {
  const from = Date.now();
  if (alone) console.log(`\n== ${name}`);
  const child = spawn(command, args, { stdio: alone ? 'inherit' : ['inherit', 'pipe', 'pipe'] });
  const output = [];
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (chunk) => output.push(chunk));
  return new Promise((resolve) => {
    child.on('error', (error) => output.push(Buffer.from(String(error))));
    child.on('close', (code) => {
      const seconds = ((Date.now() - from) / 1000).toFixed(0);
      if (!alone) process.stdout.write(Buffer.concat([Buffer.from(`\n== ${name}\n`), ...output]));
      if (code === 0) console.log(`== ${name}: ${seconds} s`);
      else console.error(`\n${name} failed after ${seconds} s.`);
      resolve(code === 0);
    });
  });
}

let passed = 0;
for (const stage of stages) {
  const outcomes = await Promise.all(stage.map((step) => run(step, stage.length === 1)));
  if (outcomes.includes(false)) process.exit(1);
  passed += stage.length;
}
console.log(`\nAll checks passed in ${((Date.now() - started) / 1000).toFixed(0)} s.`);
console.log(`${passed} passed, 0 failed`);
