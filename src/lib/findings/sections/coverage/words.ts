import type { Findings } from '../../findings.ts';
import type { CheckpointCoverage } from './figures.ts';
import { count, counted, levelText, percent, percentRange, points } from '../../../words/numbers.ts';
import { say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
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
    tests: entries.map((entry) => ({
      question: `Do those at ${entry.checkpoint} stand for the field?`,
      answer: standing(findings, entry, level),
    })),
    remarks: [...matching(findings), ...leftOut(findings)],
  };
}

function lead(findings: Findings, finishers: number, entries: readonly CheckpointCoverage[]): Sentence {
  if (finishers === 0) return say`The results hold no finish time, so the field cannot be counted.`;
  const each = entries.map(
    (entry, i) =>
      say`${strong(count(entry.sighted))} (${strong(percent(entry.share))})${i === 0 ? ' were classified' : ''} at ${place(findings, entry.checkpoint)}`,
  );
  const joined = each.reduce((all, one, i) => (i === 0 ? one : say`${all} and ${one}`), say``);
  return say`Of ${counted(finishers, 'finisher')}, ${joined}.`;
}

function standing(findings: Findings, entry: CheckpointCoverage, level: number): Sentence {
  const shares = entry.quarterShare.filter((share) => share !== null);
  if (entry.sighted === 0 || shares.length === 0) return say`nobody with a finish was classified there.`;
  const [least, most] = [Math.min(...shares), Math.max(...shares)];
  const finishers = findings.coverage?.finishers ?? 0;
  if (finishers < 4 * LEAST_GROUP)
    return say`${counted(finishers, 'finisher is', 'finishers are')} too few to tell: each quarter of the field by finish time takes ${count(LEAST_GROUP)}.`;
  const spread =
    percent(least) === percent(most)
      ? say`of each quarter by finish time, ${percent(least)} were classified`
      : say`of each quarter by finish time, ${percentRange(least, most)!} were classified`;
  const seen = findings.shares.find((one) => one.checkpoint === entry.checkpoint)?.classes.rearfoot.share ?? null;
  const weighted = entry.standardisedRearfoot;
  if (!weighted || seen === null)
    return say`${spread}; as one quarter has nobody classified, the share cannot be weighted to the field.`;
  const range = percentRange(weighted.scoreLow, weighted.scoreHigh);
  return say`${spread}; weighted to the field the rearfoot share is ${strong(percent(weighted.share))}${range === null ? '' : ` (${levelText(level)} interval ${range})`}, ${apart(weighted.share - seen)}.`;
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
