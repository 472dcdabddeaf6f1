import { shortDeviceName } from '../../../records/missing-records.ts';
import type { HeldUp } from '../../../wire/wire.ts';

/** What is too much, and how much it is. `clock` writes an instant as a time of day. */
export function heldUpWords(held: HeldUp, clock: (instant: string) => string): string {
  const refused = `Refused ${held.refused === 1 ? 'once' : `${held.refused} times`} since ${clock(held.since)}, last at ${clock(held.latest)}.`;
  return `${tooMuch(held, clock)} ${refused}`;
}

function tooMuch({ limit, device, observer, records, devices, joinedSince }: HeldUp, clock: (at: string) => string) {
  const all = `${devices} observers’ devices`;
  switch (limit) {
    case 'device-rate':
    case 'device-records': {
      const name = shortDeviceName(device ?? '');
      const whose = observer === null ? name : `${name} (${observer})`;
      const how = limit === 'device-rate' ? 'is sending records faster' : 'has sent more records';
      return `${whose} ${how} than any race needs: ${records} so far.`;
    }
    case 'code-rate':
    case 'race-rate':
      return `${all} together are sending records faster than any race needs: the hub has ${records}. Each may send one a second.`;
    case 'race-records':
      return `The hub has ${records} records of this race, more than any race needs. No observer can hand in.`;
    case 'code-joins':
    case 'race-devices':
      return `${all} have joined, more than any race needs${joinedSince === null ? '' : `; the newest since ${clock(joinedSince)}`}. Nobody else can join now.`;
  }
}

/** Whether it is devices that are too many, and not their records. */
export function isCrowd({ limit }: HeldUp): boolean {
  return limit === 'code-joins' || limit === 'race-devices';
}
