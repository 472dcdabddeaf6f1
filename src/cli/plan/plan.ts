import { makeCommand, type GivenOptions } from '../command-options.ts';
import { listChoice, READING_OPTIONS, READING_USAGE, type ListChoice } from '../input/list-options.ts';

const OPTIONS = {
  plan: { type: 'string' },
  results: { type: 'string' },
  ...READING_OPTIONS,
  json: { type: 'boolean' },
} as const;

/** What is asked of the command. */
export interface AskedPlan {
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
  understand: ({ values }: GivenOptions<typeof OPTIONS>): AskedPlan | string => {
    const list = listChoice(values);
    if (!values.plan) return 'name the plan with --plan';
    if (typeof list === 'string') return list;
    return { plan: values.plan, results: values.results, list, json: values.json ?? false };
  },
  run: async (asked, io) => (await import('./plan-run.ts')).runPlan(asked, io),
});
