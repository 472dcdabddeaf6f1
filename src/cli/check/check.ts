import { instantOfBytes } from '../../lib/tables/csv/instant-of-bytes.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { listChoice, READING_OPTIONS, READING_USAGE, type ListChoice } from '../input/list-options.ts';

const OPTIONS = {
  sightings: { type: 'string' },
  startlist: { type: 'string' },
  results: { type: 'string' },
  ...READING_OPTIONS,
  marks: { type: 'string' },
  start: { type: 'string' },
  'finish-clock': { type: 'string' },
  km: { type: 'string' },
  json: { type: 'boolean' },
} as const;

/** What is asked of the command. */
export interface AskedCheck {
  readonly sightings: string | undefined;
  /** Hand-off files. */
  readonly files: readonly string[];
  readonly startlist: string | undefined;
  readonly results: string | undefined;
  readonly list: ListChoice;
  readonly marks: string | undefined;
  readonly startMs: number | null;
  readonly finishClock: 'gun' | 'net' | null;
  readonly raceKm: number | null;
  readonly json: boolean;
}

/** Lists what the lead should look at. */
export const command = makeCommand({
  name: 'check',
  summary: 'List misread bibs, disputes, odd times, double entries and what is missing',
  usage: `Usage: npm run --silent kerbside -- check (--sightings FILE.csv | FILE.ndjson…)
         [--startlist FILE.csv] [--results FILE.csv] [--json] [OPTIONS ON THE RESULTS]
         with a table also [--marks FILE.csv] [--start DATE-TIME] [--finish-clock gun|net] [--km KM]

Prints the doubts of a race, worst first. Nothing is changed. Hand-off files hold all that
the Check screen goes by, decisions and set-up included. A sightings table does not: a hole
in a tablet's counting may be a correction or a withdrawal, what the lead has left as it is
comes again, and bibs put right teach nothing of how the others were misread. Its columns device, seq and offset_ms set clocks right and show the holes.

  --sightings FILE    the sightings table
  --startlist FILE    who may be running; without it no bib is called unlisted
  --results FILE      finish times, one row for each starter
  --marks FILE        the marks on clips, as the export writes them: their figures are checked too
  --start DATE-TIME   start of the race with its offset, such as 2026-10-04T09:00:00+01:00
  --finish-clock C    whether finish times count from the gun or from the start line (net)
  --km KM             length of the course
  --json              {doubts: [{kind, checkpoint, bib, records, candidates}]} and nothing else
How the results are read, and the bibs of the start list met:
${READING_USAGE}`,
  options: OPTIONS,
  takesFiles: true,
  understand,
  run: async (asked, io) => (await import('./check-run.ts')).runCheck(asked, io),
});

function understand({ values, files }: GivenOptions<typeof OPTIONS>): AskedCheck | string {
  if (!values.sightings && files.length === 0) return 'name the sightings table with --sightings, or hand-off files';
  if (values.sightings && files.length > 0) return 'name either a sightings table or hand-off files';
  const ofTable = (['marks', 'start', 'finish-clock', 'km'] as const).find((option) => values[option] !== undefined);
  if (files.length > 0 && ofTable) return `--${ofTable}: hand-off files say it themselves`;
  const clock = values['finish-clock'];
  if (clock !== undefined && clock !== 'gun' && clock !== 'net') {
    return `--finish-clock: "${clock}" is not one of gun, net`;
  }
  const km = values.km === undefined ? null : Number(values.km);
  if (km !== null && !(km > 0 && Number.isFinite(km))) return `--km: "${values.km}" is not a distance greater than 0`;
  const start = values.start === undefined ? null : startOf(values.start);
  if (Number.isNaN(start)) {
    return `--start: "${values.start}" is not an RFC 3339 date-time with offset, such as 2026-10-04T09:00:00+01:00`;
  }
  const list = listChoice({ ...values, km: undefined, start: undefined });
  if (typeof list === 'string') return list;
  return {
    sightings: values.sightings,
    files,
    list,
    startlist: values.startlist,
    results: values.results,
    marks: values.marks,
    startMs: start,
    finishClock: clock ?? null,
    raceKm: km,
    json: values.json ?? false,
  };
}

function startOf(text: string): number {
  const bytes = new TextEncoder().encode(text);
  return instantOfBytes(bytes, 0, bytes.length);
}
