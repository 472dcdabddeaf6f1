import { clock, count } from '../words/numbers.ts';
import type { LineFault } from './lay-course.ts';

/** Says of a field that cannot have run so which runner shows it. */
export function lineFaultWords({ runner, of, lineSeconds, finishSeconds }: LineFault): string {
  return `field.waves: runner ${count(runner)} of ${count(of)} would finish ${clock(finishSeconds)} after the gun and cross the start line only after ${clock(lineSeconds)}; expected shorter lines, slower finish times, or field.clock "net"`;
}
