import type { SetSpec } from '../../lib/practice/draw-set.ts';
import { DEFAULT_ITEMS, DEFAULT_LEVEL, PRACTICE_LEVELS } from '../../lib/practice/practice-levels.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { mixOf } from './practice-options.ts';

const OPTIONS = {
  seed: { type: 'string' },
  items: { type: 'string' },
  level: { type: 'string' },
  mix: { type: 'string' },
  key: { type: 'string' },
  force: { type: 'boolean' },
  json: { type: 'boolean' },
} as const;

/** What is asked of the command. */
export interface AskedSet {
  readonly spec: SetSpec;
  readonly key: string | undefined;
  readonly force: boolean;
  readonly json: boolean;
}

/** More landings than anyone looks at in a year. */
const MOST_ITEMS = 100_000;
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
  run: async (asked, io) => (await import('./practice-set-run.ts')).runPracticeSet(asked, io),
});

function understand({ values }: GivenOptions<typeof OPTIONS>): AskedSet | string {
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
