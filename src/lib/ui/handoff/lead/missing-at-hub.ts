import type { DeviceState } from '../../../wire/wire.ts';

/** How many records of a device the hub knows that it does not have. */
export function missingOf({ lastSeq, records }: DeviceState): number {
  return Math.max(0, lastSeq - records);
}

/** The same over all devices of a race. */
export function missingAtHub(devices: readonly DeviceState[]): number {
  return devices.reduce((sum, device) => sum + missingOf(device), 0);
}
