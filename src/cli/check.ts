import { readFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import type { CheckInput } from '../lib/domain/check/check-input.ts';
import { checkRace } from '../lib/domain/check/check-race.ts';
import { DOUBT_KINDS, type Doubt } from '../lib/domain/check/doubt.ts';
import {
  doubtKnown,
  doubtTitle,
  KIND_WORDS,
  probabilityWords,
  proposalWords,
  type DoubtContext,
} from '../lib/domain/check/doubt-words.ts';
import { inputOfTables } from '../lib/tables/input-of-tables.ts';
import { instantOfBytes } from '../lib/tables/instant-of-bytes.ts';
import { readOrganiserFile, type OrganiserKind, type OrganiserRows } from '../lib/tables/organiser-file.ts';
import { readSightingOrigins } from '../lib/tables/sightings-devices.ts';
import { SightingsReader } from '../lib/tables/sightings-reader.ts';
import { faultText, type TableFault } from '../lib/tables/table-fault.ts';
import { EXIT_DONE, EXIT_FAULT, type Command, type Io } from './command.ts';

const FAULTS_SAID = 20;

/** Lists what the lead should look at. */
export const command: Command = {
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
  run,
};

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

async function run(args: string[], io: Io): Promise<number> {
  const asked = parsed(args);
  if (typeof asked === 'string') {
    io.err(`kerbside check: ${asked}\n`);
    return EXIT_FAULT;
  }
  const input = await readInput(asked, io);
  if (!input) return EXIT_FAULT;
  const doubts = checkRace(input);
  io.out(asked.json ? `${JSON.stringify(printed(doubts, input), null, 2)}\n` : readable(doubts, input));
  return EXIT_DONE;
}

function parsed(args: string[]): Asked | string {
  let values;
  try {
    ({ values } = parseArgs({ args, options: OPTIONS }));
  } catch (error) {
    return (error as Error).message;
  }
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
  const sightings = await readSightings(asked.sightings, io);
  const startList = asked.startlist === undefined ? null : await readList(asked.startlist, 'startlist', io);
  const results = asked.results === undefined ? null : await readList(asked.results, 'results', io);
  if (!sightings || startList === 'faults' || results === 'faults') return null;
  const { startMs, finishClock, raceKm } = asked;
  return inputOfTables(sightings.table, {
    origins: sightings.origins,
    ...{ startList, results, startMs, finishClock, raceKm },
  });
}

async function readSightings(path: string, io: Io) {
  const bytes = await bytesOf(path, io);
  if (!bytes) return null;
  const reader = new SightingsReader();
  reader.push(bytes);
  const read = reader.finish();
  if (!read.ok) {
    sayFaults(io, path, read.error.faults, read.error.faultCount);
    return null;
  }
  const { origins, faults } = readSightingOrigins(bytes);
  if (faults.length) {
    sayFaults(io, path, faults, faults.length);
    return null;
  }
  return { table: read.value.table, origins };
}

async function readList<Kind extends OrganiserKind>(
  path: string,
  kind: Kind,
  io: Io,
): Promise<OrganiserRows[Kind][] | 'faults'> {
  const bytes = await bytesOf(path, io);
  if (!bytes) return 'faults';
  const { rows, faults, faultCount, said } = readOrganiserFile(bytes, kind);
  if (faultCount) {
    sayFaults(io, path, faults, faultCount);
    return 'faults';
  }
  for (const sentence of said) io.err(`${path}: ${sentence}\n`);
  return rows;
}

async function bytesOf(path: string, io: Io): Promise<Uint8Array | null> {
  try {
    return await readFile(path);
  } catch (error) {
    io.err(`${path}: cannot be read: ${(error as Error).message}\n`);
    return null;
  }
}

function sayFaults(io: Io, path: string, faults: readonly TableFault[], count: number): void {
  const shown = faults.slice(0, FAULTS_SAID);
  for (const fault of shown) io.err(`${path}: ${faultText(fault)}\n`);
  if (count > shown.length) io.err(`${path}: and ${count - shown.length} more faults\n`);
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
