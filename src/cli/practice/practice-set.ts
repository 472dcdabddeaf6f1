import { DEFAULT_ITEMS, DEFAULT_LEVEL, drawSet, type SetSpec } from '../../lib/practice/draw-set.ts';
import { landingPose } from '../../lib/practice/landing-pose.ts';
import type { Landing } from '../../lib/practice/landing.ts';
import { PRACTICE_LEVELS } from '../../lib/practice/practice-levels.ts';
import { keyCsv } from '../../lib/tables/practice/practice-csv.ts';
import { fittedTable } from '../output/text-parts.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { EXIT_DONE, EXIT_FAULT, USUAL_WIDTH, type Io } from '../command.ts';
import { mixOf } from './practice-options.ts';
import { beginsWith } from '../output/refuse-outputs.ts';
import { writeFiles } from '../output/write-files.ts';

const OPTIONS = {
  seed: { type: 'string' },
  items: { type: 'string' },
  level: { type: 'string' },
  mix: { type: 'string' },
  key: { type: 'string' },
  force: { type: 'boolean' },
  json: { type: 'boolean' },
} as const;

interface Asked {
  readonly spec: SetSpec;
  readonly key: string | undefined;
  readonly force: boolean;
  readonly json: boolean;
}

/** More landings than anyone looks at in a year. */
const MOST_ITEMS = 100_000;
/** The angles of these are printed, so that another program can check its drawing. */
const POSED_ITEMS = 3;
const POSE_TIMES_MS = [-100, -80, -40, 0, 10, 20, 40, 80, 120, 160, 200, 300] as const;

/** Draws a set of landings. */
export const command = makeCommand({
  name: 'practice-set',
  summary: 'Draw a set of landings to practise on, whose classes are known',
  usage: `Usage: npm run --silent kerbside -- practice-set --seed N [--items N] [--level 1-5]
         [--mix balanced|race|A,B,C] [--key KEY.csv [--force]] [--json]

Draws landings as the Practice screen shows them. The same seed gives the same set everywhere.

  --seed N      any whole number
  --items N     how many landings, by default ${DEFAULT_ITEMS}
  --level N     1 (slow, clear of the cut-offs) to 5 (real speed, half the foot may be
                hidden); by default ${DEFAULT_LEVEL}, as at a race
  --mix MIX     balanced (a third of each class, the default), race (as road races have
                them) or three weights of rearfoot, midfoot and forefoot, such as 80,15,5
  --key FILE    write the key too: item, class, foot, rate, level
  --force       replace a file that is there also if it is no such key
  --json        {items, poses}: all items, and sole and shank of the first three by time
`,
  options: OPTIONS,
  understand,
  run,
});

async function run({ spec, key, force, json }: Asked, io: Io): Promise<number> {
  const items = drawSet(spec);
  if (key !== undefined) {
    const replaces = (path: string) => beginsWith(path, 'item,class,foot,rate');
    const file = { path: key, pieces: keyCsv(items), replaces };
    if (!(await writeFiles([file], { inputs: [], force }, io))) return EXIT_FAULT;
  }
  const poses = items.slice(0, POSED_ITEMS).map((landing) => ({
    item: landing.item,
    poses: POSE_TIMES_MS.map((t) => ({ t, ...landingPose(landing, t) })),
  }));
  io.out(json ? `${JSON.stringify({ items, poses }, null, 2)}\n` : readable(items, io.width ?? USUAL_WIDTH));
  return EXIT_DONE;
}

function understand({ values }: GivenOptions<typeof OPTIONS>): Asked | string {
  if (values.seed === undefined) return 'name the seed with --seed, such as --seed 7';
  const seed = wholeNumber(values.seed);
  if (Number.isNaN(seed)) return `--seed: "${values.seed}" is not a whole number`;
  const items = values.items === undefined ? DEFAULT_ITEMS : wholeNumber(values.items);
  if (!(items >= 1 && items <= MOST_ITEMS)) {
    return `--items: "${values.items}" is not a whole number from 1 to ${MOST_ITEMS}`;
  }
  const level = PRACTICE_LEVELS.find((one) => String(one) === (values.level ?? String(DEFAULT_LEVEL)));
  if (level === undefined) return `--level: "${values.level}" is not one of ${PRACTICE_LEVELS.join(', ')}`;
  const mix = mixOf(values.mix ?? 'balanced', ['balanced', 'race']);
  if (typeof mix === 'string') return mix;
  return {
    spec: { seed, items, level, mix },
    key: values.key,
    force: values.force ?? false,
    json: values.json ?? false,
  };
}

/** NaN for what is no whole number that a program can hold exactly. */
function wholeNumber(text: string): number {
  const value = /^-?\d+$/.test(text) ? Number(text) : NaN;
  return Number.isSafeInteger(value) ? value : NaN;
}

function readable(items: readonly Landing[], width: number): string {
  const rows = items.map((one) => [
    one.item,
    one.class,
    one.foot,
    one.angle.toFixed(1),
    one.speed.toFixed(2),
    one.contactMs.toFixed(0),
    `${(100 * one.occlusion).toFixed(0)} %`,
    String(one.clutter),
  ]);
  const headings = ['item', 'class', 'foot', 'angle °', 'm/s', 'contact ms', 'hidden', 'others'];
  return `${fittedTable(headings, rows, width).join('\n')}\n`;
}
