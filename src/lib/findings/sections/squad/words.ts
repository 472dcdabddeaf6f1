import { count, counted, levelText, percent, percentRange, pointRange, signedPoints } from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { SectionWords } from '../../sentences/sentences-section.ts';
import { SMALL_SQUAD, type Squad, type SquadShare } from './figures.ts';

/**
 * The squad against the rest of the field. Nobody is ranked.
 *
 * @param observersDoubt whether a difference between the checkpoints may be the observers'
 */
export function squadWords(squad: Squad, level: number, observersDoubt: boolean): SectionWords {
  const own = squad.shares.filter((share) => share.group === 'squad');
  const first = own.find((share) => share.classified > 0);
  if (squad.runners.length === 0) {
    return { lead: say`None of these runners was sighted.`, tests: [], remarks: missing(squad) };
  }
  if (!first) {
    return {
      lead: say`${counted(squad.runners.length, 'runner')} of the squad ${squad.runners.length === 1 ? 'was' : 'were'} sighted, but nobody was classified at these checkpoints.`,
      tests: [],
      remarks: missing(squad),
    };
  }
  return {
    lead: say`${leadFor(squad, first, level)}.`,
    tests: change(squad, level, observersDoubt),
    remarks: [...small(own), ...missing(squad)],
  };
}

function leadFor(squad: Squad, first: SquadShare, level: number): Sentence {
  const rest = squad.shares.find((share) => share.checkpoint === first.checkpoint && share.group !== 'squad');
  const squadPart =
    first.classified < SMALL_SQUAD
      ? say`At ${first.checkpoint}, ${strong(`${count(first.classes.rearfoot)} of ${counted(first.classified, 'classified squad runner')}`)} landed on the rearfoot${interval(first, level)}`
      : say`At ${first.checkpoint}, ${strong(percent(first.classes.rearfoot / first.classified))} of ${counted(first.classified, 'classified squad runner')} landed on the rearfoot${interval(first, level)}`;
  if (!rest || rest.classified === 0) return squadPart;
  return say`${squadPart}, against ${strong(percent(rest.classes.rearfoot / rest.classified))} of ${count(rest.classified)} in the rest of the field${interval(rest, level)}`;
}

function interval(share: SquadShare, level: number): string {
  const range = percentRange(share.low, share.high);
  return range === null ? '' : ` (${levelText(level)} interval ${range})`;
}

function change(squad: Squad, level: number, observersDoubt: boolean): SectionWords['tests'] {
  const own = squad.changes.find((one) => one.group === 'squad');
  const rest = squad.changes.find((one) => one.group !== 'squad');
  if (!own) return [];
  if (own.paired === 0) {
    return [{ question: 'Did it shift?', answer: say`nobody of the squad was classified at both checkpoints.` }];
  }
  const range = pointRange(own.low, own.high);
  const doubt = observersDoubt ? ' (may be the observers’)' : '';
  const others =
    rest && rest.paired > 0
      ? `; in the rest of the field ${signedPoints(rest.difference)} points among ${count(rest.paired)}`
      : '';
  const open =
    own.low !== null && own.high !== null && own.low <= 0 && own.high >= 0
      ? ': the data do not settle whether the squad shifts'
      : '';
  return [
    {
      question: 'Did it shift?',
      answer: say`of ${counted(own.paired, 'squad runner')} classified at both, ${count(own.gained)} moved onto the rearfoot and ${count(own.lost)} off it, ${signedPoints(own.difference)} points${range === null ? '' : ` (${levelText(level)} interval ${range})`}${others}${open}${doubt}.`,
    },
  ];
}

function small(own: readonly SquadShare[]): Sentence[] {
  const fewest = Math.min(...own.map((share) => share.classified));
  return fewest < SMALL_SQUAD
    ? [
        say`This is a small group: one runner more or less changes its share a lot, so read the runners, not the percentage.`,
      ]
    : [];
}

function missing(squad: Squad): Sentence[] {
  const { notSighted } = squad;
  if (notSighted.length === 0) return [];
  const shown = notSighted.slice(0, 20).join(', ');
  return [say`Sighted nowhere: ${shown}${notSighted.length > 20 ? ` and ${count(notSighted.length - 20)} more` : ''}.`];
}
