import type { TimeQuestion, TimeReading } from './judge-times.ts';
import type { TableFault } from '../csv/table-fault.ts';
import { TIME_FORM_WORDS } from './time-forms.ts';

const two = (n: number): string => String(n).padStart(2, '0');

/** Seconds as `h:mm:ss`. */
export function clockTime(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
}

const times = ({ seconds }: TimeReading): string => seconds.map(clockTime).join(', ');

/** `as hours and minutes they would be 4:42:00, 4:50:00, 5:02:00` */
export function timeReadingWords(reading: TimeReading): string {
  return `as ${TIME_FORM_WORDS[reading.form]} they would be ${times(reading)}`;
}

/** What stands open about a column of times, as a fault of the file. */
export function questionFault({ heading, rows, asTheyStand, proposals }: TimeQuestion): TableFault {
  const found = rows.map((row) => row.found).join(', ');
  const others =
    proposals.length > 0
      ? proposals.map(timeReadingWords).join('; ')
      : 'they look like times of day, which need the start of the race';
  return {
    row: rows[0]?.row ?? 1,
    column: heading,
    found,
    expected: `${asTheyStand.seconds.length > 0 ? `would be ${times(asTheyStand)}, which nobody takes over this distance` : 'are times by the clock and no finish times'}; ${others}`,
  };
}
