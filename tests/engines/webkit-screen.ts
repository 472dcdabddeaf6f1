import { spawn, type ChildProcess } from 'node:child_process';
import process from 'node:process';
import { endedWithUs } from './ended-with-us.ts';

export const XVFB = '/usr/bin/Xvfb';

/**
 * Starts a command with a made-up screen and a message bus of its own; whatever it starts ends with it.
 *
 * @param env added to the environment
 */
export function onScreen(
  display: number,
  command: readonly string[],
  env: Readonly<Record<string, string>> = {},
): { readonly end: () => Promise<void> } {
  const size = ['-screen', '0', '1100x1300x24', '-nolisten', 'tcp'];
  const screen = spawn(XVFB, [`:${display}`, ...size], { detached: true, stdio: 'ignore' });
  const child = spawn('dbus-run-session', ['--', ...command], {
    detached: true,
    stdio: 'ignore',
    // Under root there is no sandbox to be had, and under a made-up screen no graphics card.
    env: {
      ...process.env,
      DISPLAY: `:${display}`,
      LIBGL_ALWAYS_SOFTWARE: '1',
      NO_AT_BRIDGE: '1',
      WEBKIT_DISABLE_COMPOSITING_MODE: '1',
      WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: '1',
      ...env,
    },
  });
  endedWithUs(screen);
  endedWithUs(child);
  return { end: async () => void (await Promise.all([killGroup(child), killGroup(screen)])) };
}

async function killGroup(child: ChildProcess): Promise<void> {
  if (child.pid === undefined || child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise((resolve) => child.once('exit', resolve));
  process.kill(-child.pid, 'SIGKILL');
  await gone;
}
