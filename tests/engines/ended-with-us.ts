import type { ChildProcess } from 'node:child_process';
import process from 'node:process';

const groups = new Set<number>();

process.on('exit', () => {
  for (const group of groups) {
    try {
      process.kill(-group, 'SIGKILL');
    } catch {
      // It is gone already.
    }
  }
});
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => process.exit(1));

/** Sees to it that a process with a group of its own does not outlive this one, however this one ends. */
export function endedWithUs(child: ChildProcess): void {
  const { pid } = child;
  if (pid === undefined) return;
  groups.add(pid);
  child.once('exit', () => groups.delete(pid));
}
