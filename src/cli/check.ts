import type { CheckInput } from '../lib/check/check-input.ts';
import { checkRace } from '../lib/check/check-race.ts';
import { DOUBT_KINDS, type Doubt } from '../lib/check/doubt.ts';
import {
  doubtKnown,
  doubtTitle,
  KIND_WORDS,
  probabilityWords,
  proposalWords,
  type DoubtContext,
} from '../lib/check/doubt-words.ts';
import { inputOfTables } from './input-of-tables.ts';
import { instantOfBytes } from '../lib/tables/instant-of-bytes.ts';
import { SightingOrigins } from '../lib/tables/sighting-origins.ts';
import { makeCommand, type GivenOptions } from './command-options.ts';
import { EXIT_DONE, EXIT_FAULT, type Io } from './command.ts';
import { readListFile, readSightingsFile } from './read-tables.ts';

const OPTIONS = {
  sightings: { type: 'string' },
  startlist: { type: 'string' },
  results: { type: 'string' },
  start: { type: 'string' },
  'finish-clock': { type: 'string' },
  km: { type: 'string' },
  json: { type: 'boolean' },
} as const;

interface Asked {
  readonly sightings: string;
  readonly startlist: string | undefined;
  readonly results: string | undefined;
  readonly startMs: number | null;
  readonly finishClock: 'gun' | 'net' | null;
  readonly raceKm: number | null;
  readonly json: boolean;
}

/** Lists what the lead should look at. */
export const command = makeCommand({
  name: 'check',
  summary: 'List misread bibs, disputes, odd times, double entries and what is missing',
  usage: `Usage: npm run --silent kerbside -- check --sightings FILE.csv --startlist FILE.csv
         [--results FILE.csv] [--start DATE-TIME] [--finish-clock gun|net] [--km KM] [--json]

Reads the sightings table and the organiser's lists and prints the doubts, worst first.
Nothing is changed. With the table's columns device, seq and offset_ms clocks are set
right by their measured offsets and holes in a tablet's counting are found; a hole may
also be a correction or a withdrawal, which the table does not show.

  --sightings FILE    the sightings table
  --startlist FILE    who may be running; without it no bib is called unlisted
  --results FILE      finish times, one row for each starter
  --start DATE-TIME   start of the race with its offset, such as 2026-10-04T09:00:00+01:00
  --finish-clock C    whether finish times count from the gun or from each own start (net)
  --km KM             length of the course
  --json              {doubts: [{kind, checkpoint, bib, records, candidates}]} and nothing else
`,
  options: OPTIONS,
  understand,
  run,
});

async function run(asked: Asked, io: Io): Promise<number> {
  const input = await readInput(asked, io);
  if (!input) return EXIT_FAULT;
  const doubts = checkRace(input);
  io.out(asked.json ? `${JSON.stringify(printed(doubts, input), null, 2)}\n` : readable(doubts, input));
  return EXIT_DONE;
}

function understand({ values }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (!values.sightings) return 'name the sightings table with --sightings';
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
  return {
    sightings: values.sightings,
    startlist: values.startlist,
    results: values.results,
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

/** Reads every file before it gives up, so that all that is wrong is said at once. */
async function readInput(asked: Asked, io: Io): Promise<CheckInput | null> {
  const origins = new SightingOrigins();
  const table = await readSightingsFile(asked.sightings, io, origins);
  const startList = asked.startlist === undefined ? null : await readListFile(asked.startlist, 'startlist', {}, io);
  const results = asked.results === undefined ? null : await readListFile(asked.results, 'results', {}, io);
  if (!table || startList === undefined || results === undefined) return null;
  const { startMs, finishClock, raceKm } = asked;
  return inputOfTables(table, { origins, startList, results, startMs, finishClock, raceKm });
}

function printed(doubts: readonly Doubt[], input: CheckInput) {
  return {
    doubts: doubts.map(({ kind, checkpoint, bib, records, candidates }) => ({
      kind,
      checkpoint: checkpoint === null ? null : input.checkpoints[checkpoint]!.name,
      bib,
      records,
      candidates: byBib(candidates),
    })),
  };
}

/** One candidate a bib, whichever of the records it would be. */
function byBib(candidates: Doubt['candidates']): { bib: string; probability: number }[] {
  const sums = new Map<string, number>();
  for (const { bib, probability } of candidates) sums.set(bib, (sums.get(bib) ?? 0) + probability);
  return [...sums]
    .map(([bib, probability]) => ({ bib, probability: Math.min(1, probability) }))
    .sort((a, b) => b.probability - a.probability);
}

const RECORDS_SHOWN = 5;

function readable(doubts: readonly Doubt[], input: CheckInput): string {
  const context: DoubtContext = {
    checkpoints: input.checkpoints,
    clock: (ms) => `${new Date(ms).toISOString().slice(11, 19)} UTC`,
  };
  const counts = DOUBT_KINDS.map((kind) => [kind, doubts.filter((d) => d.kind === kind).length] as const);
  const lines = [
    doubts.length === 1 ? '1 doubt' : `${doubts.length} doubts`,
    ...counts.filter(([, n]) => n > 0).map(([kind, n]) => `  ${n} ${KIND_WORDS[kind].title.toLowerCase()} (${kind})`),
    '',
  ];
  doubts.forEach((doubt, i) => {
    const place = doubt.checkpoint === null ? '' : `, ${input.checkpoints[doubt.checkpoint]!.name}`;
    lines.push(`${i + 1}. ${doubtTitle(doubt)} (${doubt.kind}${place})`);
    for (const sentence of doubtKnown(doubt, context)) lines.push(`   ${sentence}`);
    const likely = byBib(doubt.candidates)
      .slice(0, 3)
      .filter((c) => c.probability >= 0.01);
    if (likely.length) {
      lines.push(`   May be: ${likely.map((c) => `${c.bib} (${probabilityWords(c.probability)})`).join(', ')}`);
    }
    const proposal = proposalWords(doubt);
    if (proposal) lines.push(`   Proposed: ${proposal}`);
    if (doubt.records.length) {
      const more = doubt.records.length - RECORDS_SHOWN;
      const shown = doubt.records.slice(0, RECORDS_SHOWN).join(', ');
      lines.push(`   Records: ${shown}${more > 0 ? ` and ${more} more` : ''}`);
    }
  });
  return `${lines.join('\n').trimEnd()}\n`;
}
