import type { Race } from './race.ts';

/**
 * What the race's clocks show at an instant (text, or milliseconds since 1970): `09:42:07`, in short `09:42`. Every screen
 * asks here, so that one record has one time. A race without a time zone goes by the device's own.
 */
export function timeOfDay(
  { timeZone }: Pick<Race, 'timeZone'>,
  length: 'long' | 'short' = 'long',
): (instant: string | number) => string {
  // Made once: making one costs more than all it then writes.
  const format = new Intl.DateTimeFormat('en-GB', {
    ...{ hour: '2-digit', minute: '2-digit', hourCycle: 'h23' },
    ...(length === 'long' ? { second: '2-digit' } : {}),
    ...(timeZone ? { timeZone } : {}),
  });
  return (instant) => format.format(typeof instant === 'string' ? Date.parse(instant) : instant);
}
