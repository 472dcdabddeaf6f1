import type { Findings } from '../../findings.ts';
import type { RaterPair } from './figures.ts';
import { count, counted, decimal, decimalRange, levelText, percent } from '../../../words/numbers.ts';
import { CLIP_MARK } from '../../rater-name.ts';
import { asAside, aside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import type { SectionWords } from '../../sentences/sentences-section.ts';

/** Where kappa lies this far below the agreement, its reader needs the reason (common practice, no source). */
const APART = 0.1;

/** How far the observers can be trusted: feet that two of them classed. */
export function agreementWords(findings: Findings, level: number): SectionWords {
  const { pairs, alpha } = findings.agreement;
  const main = pairs.toSorted((a, b) => b.units - a.units)[0];
  if (!main) {
    return {
      lead: say`No two observers classed the same foot of the same runner, so nothing can be said of how far they agree.`,
      tests: [],
      remarks: [
        say`Put two observers side by side at one checkpoint for a while, or review some runners in slow motion, to learn it.`,
      ],
    };
  }
  const parting = whyTheyPart(main);
  return {
    lead: lead(pairs, main, level),
    tests: [
      ...(parting ? [{ question: 'Why is kappa lower than the agreement?', answer: asAside(parting) }] : []),
      { question: 'All observers together?', answer: asAside(together(alpha)) },
    ],
    remarks: [
      // Where live calls are held against clips in a section of their own, it is said there.
      ...(findings.liveAgainstClip ? [] : clips(pairs, level)),
      say`${aside('The intervals take the two feet of one runner together, since one glance errs on both; rulings by the lead count in none of these figures.')}`,
    ],
  };
}

function lead(pairs: readonly RaterPair[], main: RaterPair, level: number): Sentence {
  const range = decimalRange(main.kappa.clusterLow, main.kappa.clusterHigh);
  const kappa =
    main.kappa.estimate === null
      ? 'kappa cannot be computed, as one class only was named'
      : `kappa ${decimal(main.kappa.estimate)}${range === null ? ', no interval as nothing varied' : `, ${levelText(level)} interval ${range}`}`;
  const one = say`${main.a} and ${main.b} gave the same class to ${strong(percent(main.agreement))} of the ${strong(counted(main.units, 'foot', 'feet'))} both classed${aside(` (${kappa})`)}`;
  if (pairs.length === 1) return say`${one}.`;
  const shares = pairs.map((pair) => pair.agreement);
  const others = `; over all ${count(pairs.length)} pairs of raters agreement runs from ${percent(Math.min(...shares))} to ${percent(Math.max(...shares))}`;
  return say`${one}${aside(others)}.`;
}

/** The agreement that two raters with these shares would reach by chance. */
export function chanceAgreement(table: readonly (readonly number[])[]): number {
  const n = table.flat().reduce((sum, cell) => sum + cell, 0);
  return table.reduce((sum, row, i) => {
    const rowTotal = row.reduce((a, b) => a + b, 0);
    const columnTotal = table.reduce((a, other) => a + (other[i] ?? 0), 0);
    return sum + (rowTotal / n) * (columnTotal / n);
  }, 0);
}

function whyTheyPart(pair: RaterPair): Sentence | null {
  const chance = chanceAgreement(pair.table);
  if (pair.kappa.estimate === null || pair.agreement - pair.kappa.estimate < APART) return null;
  const named =
    pair.table[0]!.reduce((sum, cell) => sum + cell, 0) + pair.table.reduce((sum, row) => sum + (row[0] ?? 0), 0);
  const share = named / (2 * pair.units);
  const prevalent = share > 0.5 ? `as ${percent(share)} of their calls are rearfoot, ` : '';
  return say`${prevalent}they would agree on ${percent(chance)} of feet without looking; kappa counts only what is won beyond that${aside(`, while AC1, ${decimal(pair.ac1.estimate)}, is moved less by one common class: read them with the table`)}.`;
}

function together(alpha: Findings['agreement']['alpha']): Sentence {
  const base = `${counted(alpha.units, 'foot', 'feet')} with two or more calls, ${counted(alpha.raters, 'rater')}`;
  return alpha.estimate === null
    ? say`Krippendorff’s alpha cannot be computed, as one class only occurs (${base}).`
    : say`Krippendorff’s alpha is ${strong(decimal(alpha.estimate))}; as for kappa, 1 would be full agreement, 0 what chance gives${aside(` (${base})`)}.`;
}

/** Whether one of two raters looked live and the other at a clip. */
const liveAgainstClip = (pair: RaterPair): boolean => pair.a.endsWith(CLIP_MARK) !== pair.b.endsWith(CLIP_MARK);

/** Whether the two raters are one person, live and with a clip. */
export function sameObserver(pair: RaterPair): boolean {
  return pair.b === pair.a + CLIP_MARK || pair.a === pair.b + CLIP_MARK;
}

function clips(pairs: readonly RaterPair[], level: number): Sentence[] {
  const mixed = pairs.filter(liveAgainstClip);
  if (mixed.length === 0) return [];
  const units = mixed.reduce((sum, pair) => sum + pair.units, 0);
  const same = mixed.reduce((sum, pair) => sum + pair.agreement * pair.units, 0);
  // Best the same person twice: then the method alone differs.
  const largest = mixed.toSorted((a, b) => Number(sameObserver(b)) - Number(sameObserver(a)) || b.units - a.units)[0]!;
  const range = decimalRange(largest.kappa.clusterLow, largest.kappa.clusterHigh);
  return [
    say`Live against slow-motion clip, the naked eye agreed on ${percent(same / units)} of ${counted(units, 'comparison')}${largest.kappa.estimate === null ? '' : `; for ${largest.a} and ${largest.b} kappa is ${decimal(largest.kappa.estimate)}${range === null ? '' : ` (${levelText(level)} interval ${range})`}`}.`,
  ];
}
