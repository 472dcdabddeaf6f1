import { FAULTS_KEPT } from '../../lib/tables/sightings/sightings-reader.ts';
import type { Io } from '../command.ts';

/** Says what is wrong with a file, one line for each fault: the first {@link FAULTS_KEPT}, then how many more. */
export function sayFaultLines(io: Io, path: string, faults: readonly string[], faultCount = faults.length): void {
  const said = faults.slice(0, FAULTS_KEPT);
  for (const fault of said) io.err(`${path}: ${fault}\n`);
  const more = faultCount - said.length;
  if (more > 0) io.err(`${path}: and ${more} more ${more === 1 ? 'fault' : 'faults'}\n`);
}
