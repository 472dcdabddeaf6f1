import type { Findings } from '../../findings.ts';
import type { CheckpointShares } from './figures.ts';
import { count, counted, levelText, listed, percent, percentRange } from '../../../words/numbers.ts';
import { asAside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { place, type SectionWords } from '../../sentences/sentences-section.ts';
import { LEAST_RUNNERS } from '../../which-test.ts';

/** Shares of the classes at the checkpoints; `focus` names the ones to speak of, the early one first. */
export function sharesWords(findings: Findings, level: number, focus: readonly string[]): SectionWords {
  const entries = focus
    .map((name) => findings.shares.find((entry) => entry.checkpoint === name))
    .filter((entry) => entry !== undefined);
  const counted_ = entries.filter((entry) => entry.classified > 0);
  return {
    lead: lead(findings, level, counted_),
    tests:
      counted_.length === 0
        ? []
        : [
            {
              question: 'How sure is that?',
              answer: say`In ${levelText(level)} of races such an interval takes in the share of all runners, as far as those classified stand for the others.`,
            },
          ],
    remarks: [...entries.map(leftOut), ...alikeOnly(counted_)],
  };
}

function lead(findings: Findings, level: number, entries: readonly CheckpointShares[]): Sentence {
  const [first, second] = entries;
  if (!first) return say`No runner has been classified yet: a share needs runners whose two feet were both seen.`;
  const opening = say`At ${place(findings, first.checkpoint)}, ${strong(rearfootOf(first))} of the ${strong(counted(first.classified, 'runner'))} classified landed on the rearfoot${range(first, level, true)}`;
  if (!second) return say`${opening}.`;
  return say`${opening}; at ${place(findings, second.checkpoint)}, ${strong(rearfootOf(second))} of ${strong(count(second.classified))}${range(second, level, false)}.`;
}

/** The share in percent, or of a few runners how many. */
export function rearfootOf({ classes, classified }: CheckpointShares): string {
  return classified < LEAST_RUNNERS ? count(classes.rearfoot.count) : percent(classes.rearfoot.share);
}

function range(entry: CheckpointShares, level: number, named: boolean): string {
  const { low, high } = entry.classes.rearfoot;
  const text = percentRange(low, high);
  return text === null ? '' : ` (${named ? `${levelText(level)} interval ` : ''}${text})`;
}

/**
 * Says of every checkpoint what the denominator leaves out, also when that is nobody. Where somebody was classified a screen
 * has the table of who is counted.
 */
function leftOut(entry: CheckpointShares): Sentence {
  const parts = [
    entry.walking > 0 ? `${count(entry.walking)} walking` : '',
    entry.disputed > 0 ? `${count(entry.disputed)} disputed` : '',
    entry.unclassified > 0 ? `${count(entry.unclassified)} with a foot not seen` : '',
  ].filter((part) => part !== '');
  const where = entry.checkpoint;
  const total = entry.walking + entry.disputed + entry.unclassified;
  if (entry.classified === 0 && total === 0) return say`Nobody was seen at ${where}.`;
  if (total === 0) return asAside(say`Every runner sighted at ${where} was classified.`);
  const said = say`Not counted at ${where}: ${listed(parts)}.`;
  return entry.classified === 0 ? said : asAside(said);
}

/** The same race is quoted with and without asymmetric runners in the denominator: print both. */
function alikeOnly(entries: readonly CheckpointShares[]): Sentence[] {
  const parts = entries
    .filter((entry) => entry.classes.asymmetric.count > 0)
    .map(({ checkpoint, classified, classes }) => {
      const alike = classified - classes.asymmetric.count;
      const { count: rearfoot } = classes.rearfoot;
      const of = alike === 0 ? '' : ` (${percent(rearfoot / alike)})`;
      return `${count(rearfoot)} of ${count(alike)}${of} at ${checkpoint}`;
    });
  return parts.length === 0 ? [] : [asAside(say`Without asymmetric runners: ${listed(parts)}.`)];
}
