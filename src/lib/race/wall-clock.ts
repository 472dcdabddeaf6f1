import { utcInstant } from '../records/instant.ts';

export interface WallClock {
  /** `2026-10-04` */
  date: string;
  /** `09:00:00` */
  time: string;
}

const DATE = /^(\d{4})-(\d\d)-(\d\d)$/;
const TIME = /^([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?$/;

function formatter(timeZone: string): Intl.DateTimeFormat {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone,
    hourCycle: 'h23',
    ...{ year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit' },
  });
}

function partsAt(format: Intl.DateTimeFormat, ms: number): WallClock {
  const part: Record<string, string> = {};
  for (const { type, value } of format.formatToParts(ms)) part[type] = value;
  return {
    date: `${part['year']?.padStart(4, '0')}-${part['month']}-${part['day']}`,
    time: `${part['hour']}:${part['minute']}:${part['second']}`,
  };
}

/** What the clocks of a time zone (IANA name) show at an instant. */
export function wallClockAt(instant: string, timeZone: string): WallClock {
  return partsAt(formatter(timeZone), Date.parse(instant));
}

/**
 * The instant at which the clocks of a time zone show a date and time (`9:00`, `09:00` or `09:00:30`). `null` when it is
 * no such time or the clocks skip it; a time that comes twice in autumn is its first.
 */
export function instantOfWallClock(date: string, time: string, timeZone: string): string | null {
  const day = DATE.exec(date);
  const clock = TIME.exec(time.trim());
  if (!day || !clock) return null;
  const asUtcMs = Date.UTC(
    ...([Number(day[1]), Number(day[2]) - 1, Number(day[3])] as const),
    ...([Number(clock[1]), Number(clock[2]), Number(clock[3] ?? 0)] as const),
  );
  const format = formatter(timeZone);
  const wanted: WallClock = { date, time: `${clock[1]!.padStart(2, '0')}:${clock[2]}:${clock[3] ?? '00'}` };
  // The zone's offset a day before and a day after: one of the two is in force at the time asked for.
  const offsetMs = (ms: number) => {
    const shown = partsAt(format, ms);
    return Date.parse(`${shown.date}T${shown.time}Z`) - ms;
  };
  const candidates = [asUtcMs - offsetMs(asUtcMs - 86_400_000), asUtcMs - offsetMs(asUtcMs + 86_400_000)];
  for (const ms of candidates.sort((a, b) => a - b)) {
    const shown = partsAt(format, ms);
    if (shown.date === wanted.date && shown.time === wanted.time) return utcInstant(ms);
  }
  return null;
}
