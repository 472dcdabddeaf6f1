import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { planText } from './plan-text.ts';
import { readJsonFile } from '../input/read-json.ts';
import { listChoice, READING_OPTIONS, READING_USAGE, type ListChoice } from '../input/list-options.ts';
import { readListFile } from '../input/read-list.ts';
import { lineFaultWords } from '../../lib/plan/line-fault-words.ts';
import { planFigures } from '../../lib/plan/plan-figures.ts';
import type { GivenPlan } from '../../lib/plan/plan-schema.ts';
import { readPlan } from '../../lib/plan/read-plan.ts';
import { raceLength } from '../../lib/tables/organiser/pace-limits.ts';
import { sayFaultLines } from '../input/say-fault-lines.ts';

const OPTIONS = {
  plan: { type: 'string' },
  results: { type: 'string' },
  ...READING_OPTIONS,
  json: { type: 'boolean' },
} as const;

interface Asked {
  readonly plan: string;
  readonly results: string | undefined;
  readonly list: ListChoice;
  readonly json: boolean;
}

/** Computes what a race can show before it starts. */
export const command = makeCommand({
  name: 'plan',
  summary: 'Before a race: runners a minute, what observers can class, which rule, what it can show',
  usage: `Usage: npm run --silent kerbside -- plan --plan PLAN.json [--results LAST-YEAR.csv]
         [--json] [OPTIONS ON THE RESULTS]

Reads a plan and prints what the race can show, as text or as one JSON object. A fault in
the plan is said on standard error with its place (the first 20, then a count); then
nothing is printed and the exit code is 2.

  --plan FILE      starters, km and checkpoints with name and km; what else a plan may
                   hold takes a default, and every default taken is named
  --results FILE   last year's results, bib and finish, as organisers export them: their
                   finish times in place of the usual ones
  --json           print JSON and nothing else

The smallest plan:

  {"starters": 1200, "km": 42.195,
   "checkpoints": [{"name": "Old Pier", "km": 10}, {"name": "Quarry Hill", "km": 32}]}

How the results are read; their times are judged by the plan's km, their bibs meet nobody:
${READING_USAGE}`,
  options: OPTIONS,
  understand: ({ values }: GivenOptions<typeof OPTIONS>): Asked | string => {
    const list = listChoice(values);
    if (!values.plan) return 'name the plan with --plan';
    if (typeof list === 'string') return list;
    return { plan: values.plan, results: values.results, list, json: values.json ?? false };
  },
  run,
});

async function run({ plan: path, results, list, json }: Asked, io: Io): Promise<number> {
  // Both files are read before giving up, so that all that is wrong is said at once.
  const plan = await readPlanFile(path, io);
  const finishes = results === undefined ? null : await readFinishes(results, plan?.km, list, io);
  if (!plan || finishes === undefined) return EXIT_FAULT;
  const figures = planFigures(plan, finishes);
  if (!figures.ok) {
    io.err(`${path}: ${lineFaultWords(figures.error)}\n`);
    return EXIT_FAULT;
  }
  io.out(json ? `${JSON.stringify(figures.value, null, 2)}\n` : planText(figures.value, io.width ?? USUAL_WIDTH));
  return EXIT_DONE;
}

async function readPlanFile(path: string, io: Io): Promise<GivenPlan | undefined> {
  const read = await readJsonFile(path, io);
  if (read === undefined) return undefined;
  const plan = readPlan(read.json);
  if (plan.ok) return plan.value;
  sayFaultLines(io, path, plan.error.faults);
  return undefined;
}

/** Last year's finish times in seconds, rising. */
async function readFinishes(
  path: string,
  km: number | undefined,
  { options, sheet }: ListChoice,
  io: Io,
): Promise<Float64Array | undefined> {
  const rows = await readListFile(
    path,
    'results',
    { ...options, sheet, known: { length: raceLength(km, undefined) } },
    io,
  );
  if (!rows) return undefined;
  const finishes = Float64Array.from(rows.flatMap(({ finish }) => finish ?? [])).sort();
  if (finishes.length > 0) return finishes;
  io.err(`${path}: nobody has a finish time\n`);
  return undefined;
}
