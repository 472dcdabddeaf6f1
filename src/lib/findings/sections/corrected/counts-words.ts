import type { Findings } from '../../findings.ts';
import { count, counted, listed } from '../../../words/numbers.ts';
import { say, type Sentence } from '../../sentences/sentences-parts.ts';
import { place } from '../../sentences/sentences-section.ts';
import type { PracticeCorrection, ValidatedCheckpoint, Validation } from './corrected.ts';

/** Whom the corrected figures rest on and who is left out, in sentences with every count. */
export function correctionCounts(findings: Findings): Sentence[] {
  const { validation, practice } = findings.corrected ?? { validation: null, practice: null };
  return [
    ...(validation ? validationCounts(findings, validation) : []),
    ...(practice ? practiceCounts(findings, practice) : []),
  ];
}

function validationCounts(findings: Findings, { checkpoints, difference }: Validation): Sentence[] {
  const counts = checkpoints
    .filter(({ live, clipOnly }) => live + clipOnly > 0)
    .map((at) => checkpointCounts(findings, at));
  if (!difference) return counts;
  const { early, late, paired, validatedEarly, validatedLate, validatedBoth } = difference;
  return [
    ...counts,
    say`The change is that of ${counted(paired, 'runner')} classed live at both, of whom ${count(validatedEarly)} were reviewed at ${early}, ${count(validatedLate)} at ${late} and ${count(validatedBoth)} at both.`,
  ];
}

function checkpointCounts(findings: Findings, at: ValidatedCheckpoint): Sentence {
  const { checkpoint, live, validated, clipUnclear, clipOnly, pooled } = at;
  const unclear = clipUnclear > 0 ? `; for ${count(clipUnclear)} more the clip shows none of the four classes` : '';
  const alone =
    clipOnly > 0
      ? ` ${counted(clipOnly, 'runner')} classed by clip alone ${clipOnly === 1 ? 'is' : 'are'} not used.`
      : '';
  const strata = pooled
    ? ' Midfoot, forefoot and asymmetric are taken together there, as too few of one were reviewed.'
    : '';
  return say`At ${place(findings, checkpoint)} ${counted(live, 'runner')} ${live === 1 ? 'has' : 'have'} a class by live sightings, and ${count(validated)} of them by clip too${unclear}.${alone}${strata}`;
}

function practiceCounts(
  findings: Findings,
  { items, answers, unclassified, observers, checkpoints }: PracticeCorrection,
): Sentence[] {
  const used = observers.filter(({ practised }) => practised).map(({ observer }) => observer);
  const others = observers.filter(({ practised }) => !practised).map(({ observer }) => observer);
  const who = used.length > 0 ? `used are those of ${listed(used)}` : 'nobody answered enough of every class';
  const rest = others.length > 0 ? `; too few by ${listed(others)}` : '';
  return [
    say`Practice: ${counted(answers, 'answer')} to ${counted(items, 'item')} with a key, ${count(unclassified)} without a class; ${who}${rest}.`,
    ...checkpoints.map(
      ({ checkpoint, runners, readings, unpractised }) =>
        say`At ${place(findings, checkpoint)} ${counted(readings, 'live reading')} of ${counted(runners, 'runner')} ${readings === 1 ? 'is' : 'are'} used${unpractised > 0 ? `; ${count(unpractised)} by others ${unpractised === 1 ? 'is' : 'are'} left out` : ''}.`,
    ),
  ];
}
