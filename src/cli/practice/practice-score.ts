import { RACE_MIX, type Mix } from '../../lib/practice/practice-levels.ts';
import { makeCommand, type GivenOptions } from '../command-options.ts';
import { mixOf } from './practice-options.ts';
import { levelChoice } from '../input/rule-options.ts';

const OPTIONS = {
  answers: { type: 'string' },
  key: { type: 'string' },
  level: { type: 'string' },
  mix: { type: 'string' },
  json: { type: 'boolean' },
} as const;

/** What is asked of the command. */
export interface AskedScore {
  readonly answers: string;
  readonly key: string;
  readonly level: number;
  readonly mix: Mix;
  readonly json: boolean;
}

/** Scores answers against their key. */
export const command = makeCommand({
  name: 'practice-score',
  summary: "Score observers' practice answers against the key",
  usage: `Usage: npm run --silent kerbside -- practice-score --answers FILE.csv --key FILE.csv
         [--level L] [--mix A,B,C] [--json]

Scores every session of every observer: agreement, kappa, sensitivity and specificity for
rearfoot, near and far foot, pace, drift and whether the session passes.

  --answers FILE   session, observer, position, item, answer, response_ms
  --key FILE       item, class, foot, rate, level; one file with all columns, such as
                   practice.csv, may be named for both
  --level L        level of all intervals, between 0 and 1; by default 0.95
  --mix A,B,C      weights of rearfoot, midfoot and forefoot in the field the score is for;
                   by default those of road races, ${RACE_MIX.join(',')}
  --json           print JSON and nothing else
`,
  options: OPTIONS,
  understand,
  run: async (asked, io) => (await import('./practice-score-run.ts')).runPracticeScore(asked, io),
});

function understand({ values }: GivenOptions<typeof OPTIONS>): AskedScore | string {
  if (!values.answers) return 'name the answers with --answers';
  if (!values.key) return 'name the key with --key; a file with all columns may be named for both';
  const level = levelChoice(values.level);
  if (typeof level === 'string') return level;
  const mix = values.mix === undefined ? RACE_MIX : mixOf(values.mix, []);
  if (typeof mix === 'string') return mix;
  return { answers: values.answers, key: values.key, level, mix, json: values.json ?? false };
}
