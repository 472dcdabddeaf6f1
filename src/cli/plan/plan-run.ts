import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { planText } from './plan-text.ts';
import { readJsonFile } from '../input/read-json.ts';
import type { ListChoice } from '../input/list-options.ts';
import { readListFile } from '../input/read-list.ts';
import { lineFaultWords } from '../../lib/plan/line-fault-words.ts';
import { planFigures } from '../../lib/plan/plan-figures.ts';
import type { GivenPlan } from '../../lib/plan/plan-schema.ts';
import { readPlan } from '../../lib/plan/read-plan.ts';
import { raceLength } from '../../lib/tables/organiser/pace-limits.ts';
import { sayFaultLines } from '../input/say-fault-lines.ts';
import type { AskedPlan } from './plan.ts';

/** Does what is asked of the command; the exit code. */
export async function runPlan({ plan: path, results, list, json }: AskedPlan, io: Io): Promise<number> {
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
