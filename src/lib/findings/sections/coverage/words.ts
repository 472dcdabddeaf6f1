import type { Findings } from '../../findings.ts';
import type { CheckpointCoverage } from './figures.ts';
import { count, counted, levelText, listed, percent, percentRange, points } from '../../../words/numbers.ts';
import { asAside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { place, type SectionWords } from '../../sentences/sentences-section.ts';
import { LEAST_GROUP } from '../../which-test.ts';

/** How far the runners who were classified stand for the field; `focus` names the checkpoints to speak of. */
export function coverageWords(findings: Findings, level: number, focus: readonly string[]): SectionWords {
  const { coverage, inputs } = findings;
  if (!coverage) {
    return {
      lead: say`${counted(inputs.runners, 'runner was', 'runners were')} sighted; how many passed unseen cannot be known without the results.`,
      tests: [],
      remarks: leftOut(findings),
    };
  }
  const entries = focus
    .map((name) => coverage.checkpoints.find((entry) => entry.checkpoint === name))
    .filter((entry) => entry !== undefined);
  return {
    lead: lead(findings, coverage.finishers, entries),
    tests:
      entries.length === 0
        ? []
        : [
            {
              question: 'Do they stand for the field?',
              answer: standing(findings, coverage.finishers, entries, level),
            },
          ],
    remarks: [...matching(findings), ...leftOut(findings)],
  };
}

function lead(findings: Findings, finishers: number, entries: readonly CheckpointCoverage[]): Sentence {
  if (finishers === 0) return say`The results hold no finish time, so the field cannot be counted.`;
  const each = entries.map(
    (entry, i) =>
      say`${strong(count(entry.sighted))} (${strong(percent(entry.share))})${i === 0 ? ' were classified' : ''} at ${place(findings, entry.checkpoint)}`,
  );
  return say`Of ${counted(finishers, 'finisher')}, ${joined(each)}.`;
}

function standing(
  findings: Findings,
  finishers: number,
  entries: readonly CheckpointCoverage[],
  level: number,
): Sentence {
  if (finishers < 4 * LEAST_GROUP)
    return say`${counted(finishers, 'finisher is', 'finishers are')} too few to tell: each quarter of the field by finish time takes ${count(LEAST_GROUP)}.`;
  const [there, nobody] = parted(entries, ({ sighted }) => sighted > 0);
  if (there.length === 0) return say`nobody with a finish was classified.`;
  const [full, gaps] = parted(there, ({ standardisedRearfoot }) => standardisedRearfoot !== null);
  const names = (some: readonly CheckpointCoverage[]): string => listed(some.map(({ checkpoint }) => checkpoint));
  const weighted = full.map((entry, i) => weightedAt(findings, entry, level, i === 0));
  const spread = `of each quarter by finish time, ${listed(there.map(quartersAt))} were classified`;
  const clauses = [
    ...(full.length > 0 ? [say`weighted to the field the rearfoot share is ${joined(weighted)}`] : []),
    ...(gaps.length > 0
      ? [say`at ${names(gaps)} one quarter has nobody classified, so the share cannot be weighted to the field`]
      : []),
    ...(nobody.length > 0 ? [say`nobody with a finish was classified at ${names(nobody)}`] : []),
    // The picture has the quarters.
    asAside(say`; ${spread}`),
  ];
  return say`${clauses.reduce((all, one, i) => (i === 0 || i === clauses.length - 1 ? say`${all}${one}` : say`${all}; ${one}`), say``)}.`;
}

function parted<T>(all: readonly T[], test: (one: T) => boolean): [T[], T[]] {
  return [all.filter(test), all.filter((one) => !test(one))];
}

const joined = (parts: readonly Sentence[]): Sentence =>
  parts.reduce((all, one, i) => (i === 0 ? one : say`${all} and ${one}`), say``);

function quartersAt({ checkpoint, quarterShare }: CheckpointCoverage): string {
  const shares = quarterShare.filter((share) => share !== null);
  const [least, most] = [Math.min(...shares), Math.max(...shares)];
  return `${percent(least) === percent(most) ? percent(least) : percentRange(least, most)!} at ${checkpoint}`;
}

function weightedAt(
  findings: Findings,
  { checkpoint, standardisedRearfoot: weighted }: CheckpointCoverage,
  level: number,
  named: boolean,
): Sentence {
  const seen = findings.shares.find((one) => one.checkpoint === checkpoint)?.classes.rearfoot.share ?? null;
  const range = percentRange(weighted?.scoreLow ?? null, weighted?.scoreHigh ?? null);
  const interval = range === null ? '' : `${named ? `${levelText(level)} interval ` : ''}${range}`;
  const against = weighted && seen !== null ? apart(weighted.share - seen) : '';
  return say`${strong(percent(weighted?.share ?? null))} at ${checkpoint} (${[interval, against].filter(Boolean).join('; ')})`;
}

function apart(difference: number): string {
  if (Math.abs(difference) < 0.0005) return 'as observed';
  return `${points(difference)} ${difference < 0 ? 'less' : 'more'} than observed`;
}

function matching({ inputs }: Findings): Sentence[] {
  if (inputs.matched === null || inputs.unmatchedBibs === null) return [];
  return [
    inputs.unmatchedBibs === 0
      ? say`${inputs.runners === 1 ? 'The one sighted bib is' : `All ${count(inputs.runners)} sighted bibs are`} in the results.`
      : say`${count(inputs.matched)} of ${counted(inputs.runners, 'sighted bib')} are in the results, ${count(inputs.unmatchedBibs)} are not: misread, or not listed.`,
  ];
}

function leftOut({ inputs }: Findings): Sentence[] {
  const { noBib, repeats, sameRecord, passed } = inputs.excluded;
  return [
    say`Left out of ${counted(inputs.sightings, 'sighting')}: ${count(noBib)} without a readable bib and ${count(repeats)} entered twice by the same observer${passed > 0 ? `; ${count(passed)} more were let pass by the sampling rule, not looked at` : ''}${sameRecord > 0 ? `; ${counted(sameRecord, 'record was', 'records were')} met twice` : ''}.`,
  ];
}
