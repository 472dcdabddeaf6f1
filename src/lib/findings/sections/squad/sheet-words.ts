import { RUNNER_CLASSES } from '../../../records/foot.ts';
import { count, counted, percent } from '../../../words/numbers.ts';
import type { Findings } from '../../findings.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { place } from '../../sentences/sentences-section.ts';
import { LEAST_RUNNERS } from '../../which-test.ts';
import type { SquadSighting } from './figures.ts';
import { OUTCOME_WORDS } from './pictures.ts';

/** Where the field stood at a checkpoint, for one runner to see their own class beside. */
export function fieldSentence(findings: Findings, checkpoint: string): Sentence | null {
  const entry = findings.shares.find((one) => one.checkpoint === checkpoint);
  if (!entry || entry.classified === 0) return null;
  const few = entry.classified < LEAST_RUNNERS;
  const classes = RUNNER_CLASSES.map((name) => {
    const { count: runners, share } = entry.classes[name];
    return `${name} ${few ? count(runners) : percent(share)}`;
  });
  return say`Of ${counted(entry.classified, 'runner')} classified at ${place(findings, checkpoint)}: ${classes.join(', ')}.`;
}

/** What was seen of one runner at one checkpoint. */
export function seenSentence(checkpoint: string, seen: SquadSighting | null): Sentence {
  if (!seen) return say`${checkpoint}: not sighted.`;
  if (seen.outcome === 'walking') return say`${checkpoint}: ${strong('walking')}.`;
  const foot = (value: SquadSighting['left']): string => (value === 'unseen' ? 'not seen' : value);
  return say`${checkpoint}: ${strong(OUTCOME_WORDS[seen.outcome])}; left ${foot(seen.left)}, right ${foot(seen.right)}.`;
}

/** What a runner is told about the class on their sheet. */
export const SHEET_CAUTIONS: readonly string[] = [
  'This is what observers saw at one or two steps. It is no diagnosis and says nothing about injury or economy.',
  'Rearfoot, midfoot and forefoot are all ordinary ways to land. Speed, shoe, slope and fatigue move them.',
  'There is nothing to do about it. If you think of changing how you run, ask a qualified professional first.',
];
