import type { Race } from '../../../race/race.ts';
import { shortDeviceName } from '../../../records/missing-records.ts';
import type { TallyRecord } from '../../../records/record.ts';

const plain = (text: string) =>
  text
    .normalize('NFKD')
    .replace(/\p{Mark}+/gu, '')
    .replace(/[^\p{Letter}\p{Number}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase();

/** The one of all, or how many there are. */
function oneOf(all: ReadonlySet<string>, many: string): string {
  const [only = ''] = all;
  return all.size > 1 ? `${all.size}-${many}` : plain(only);
}

/**
 * The name of a hand-off file, without its ending: race, day, checkpoint, observer, device and time of day to the second,
 * such as `alder-ten-2026-10-04-mill-bridge-n4-3f2a-073105`. No two devices write the same name, and no device twice.
 *
 * @param ms milliseconds since 1970
 */
export function handoffName(race: Race, records: readonly TallyRecord[], device: string, ms: number): string {
  const names = new Map(race.checkpoints.map(({ id, name }) => [id, name]));
  const checkpoints = new Set<string>();
  const observers = new Set<string>();
  for (const record of records) {
    observers.add(record.observer);
    if (record.kind === 'sighting') checkpoints.add(names.get(record.checkpoint) ?? record.checkpoint);
  }
  const time = new Date(ms).toTimeString().slice(0, 8).replaceAll(':', '');
  return [
    ...[plain(race.name) || 'race', race.date, oneOf(checkpoints, 'checkpoints'), oneOf(observers, 'observers')],
    ...[plain(shortDeviceName(device)), time],
  ]
    .filter(Boolean)
    .join('-');
}
