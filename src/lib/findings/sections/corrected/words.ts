import type { RunnerClass } from '../../../records/foot.ts';
import { RUNNER_CLASSES } from '../../../records/foot.ts';
import type { Findings } from '../../findings.ts';
import {
  count,
  counted,
  levelText,
  listed,
  percent,
  percentRange,
  pointRange,
  points,
} from '../../../words/numbers.ts';
import { asAside, say, strong, type Sentence } from '../../sentences/sentences-parts.ts';
import { place, type SectionWords } from '../../sentences/sentences-section.ts';
import { mayBeTheObservers } from '../shift/observers-doubt.ts';
import { correctionCounts } from './counts-words.ts';
import { correctionBasis, type BasisCheckpoint, type CorrectionBasis, type MisreadShare } from './basis.ts';
import { CHOSEN_BLIND, CLIP_IS_TRUTH, ERRS_AS_PRACTISED, STAYS_OUTSIDE } from './notes.ts';
import { validationSizes } from './validation-sizes.ts';

/** The corrected rearfoot shares at the checkpoints of `focus` in one sentence; `null` where there is no estimate. */
export function correctedSharesLead(findings: Findings, level: number, focus: readonly string[]): Sentence | null {
  const basis = correctionBasis(findings.corrected);
  const known = (basis?.checkpoints ?? []).filter(
    ({ checkpoint, classes }) => focus.includes(checkpoint) && classes.rearfoot.share !== null,
  );
  const [first, second] = known;
  if (!basis || !first) return null;
  const opening = say`${strong(percent(first.classes.rearfoot.share))} of ${strong(counted(first.runners, 'runner'))} at ${place(findings, first.checkpoint)} landed on the rearfoot${interval(first, level, true)}`;
  if (!second) return say`${opening}${slips(basis)}.`;
  return say`${opening}; at ${place(findings, second.checkpoint)}, ${strong(percent(second.classes.rearfoot.share))} of ${strong(count(second.runners))}${interval(second, level, false)}${slips(basis)}.`;
}

function interval(at: BasisCheckpoint, level: number, named: boolean): string {
  const range = percentRange(at.classes.rearfoot.low, at.classes.rearfoot.high);
  return range === null ? '' : ` (${named ? `${levelText(level)} interval ` : ''}${range})`;
}

function slips({ kind, misreadings }: CorrectionBasis): Sentence {
  const where = kind === 'validation' ? '' : ' in practice';
  if (!misreadings?.commonest) return say`; no slip of the observers was found${where}`;
  const { truth, readAs } = misreadings.commonest;
  return say`, allowing for what observers read wrongly${where}: ${strong(inHundred(misreadings))}, mostly ${truth} as ${readAs}`;
}

function inHundred({ share }: MisreadShare): string {
  return share < 0.01 ? 'fewer than 1 in 100' : `${Math.round(share * 100)} in 100`;
}

/** The corrected change of the rearfoot share in one sentence; `null` where there is no estimate. */
export function correctedShiftLead(findings: Findings, level: number): Sentence | null {
  const difference = correctionBasis(findings.corrected)?.difference;
  if (!difference || difference.corrected.difference === null) return null;
  const { early, late, paired, observed, corrected } = difference;
  const change = corrected.difference ?? 0;
  const both = `${place(findings, early)} and ${place(findings, late)}`;
  const range = pointRange(corrected.low, corrected.high);
  const ends = range === null ? '' : ` (change in points, ${levelText(level)} interval ${range})`;
  const settled = corrected.low !== null && corrected.high !== null && (corrected.low > 0 || corrected.high < 0);
  const size = say`the rearfoot share ${way(change)} by ${strong(points(change))}, from ${percent(corrected.early)} to ${percent(corrected.late)}${ends}`;
  const verdict = settled ? say`` : say`, and ${strong('the data do not settle')} whether it shifts`;
  const seen = observed.difference ?? 0;
  return say`In ${strong(counted(paired, 'runner'))} read at both ${both}, allowing for what observers misread, ${size}${verdict}; as read it ${way(seen)} by ${points(seen)}.`;
}

const way = (change: number): string => (change < 0 ? 'fell' : 'rose');

/** What the corrected figures take for granted, in three sentences; none without a correction. */
export function correctionAssumptions(findings: Findings): Sentence[] {
  const basis = correctionBasis(findings.corrected);
  if (!basis) return [];
  const own = basis.kind === 'validation' ? [CLIP_IS_TRUTH, CHOSEN_BLIND] : [ERRS_AS_PRACTISED];
  const side = basis.kind === 'practice' ? ['Practice clips show runners from the side that observers stand on.'] : [];
  return [...[...own, ...side].map((sentence) => say`${sentence}`), asAside(say`${STAYS_OUTSIDE}`)];
}

/** What a review on clip could give where nobody was validated and no practice set was given; else `null`. */
export function validationOffer(findings: Findings, focus: readonly string[]): Sentence | null {
  if (findings.corrected) return null;
  const at = findings.shares.find((entry) => entry.checkpoint === focus[0] && entry.classified > 0);
  if (!at) return null;
  const sizes = validationSizes(RUNNER_CLASSES.map((name) => at.classes[name].count));
  const parts = RUNNER_CLASSES.flatMap((name: RunnerClass, i) =>
    sizes[i]! > 0 ? [`${count(sizes[i]!)} ${name}`] : [],
  );
  const all = sizes.reduce((total, size) => total + size, 0);
  return say`These are shares as observers called them. Reviewing ${counted(all, 'runner')} on clip at ${place(findings, at.checkpoint)} (${listed(parts)}, drawn at random) would correct them for what eyes misread.`;
}

/** The words of Shares with the corrected figures at their head and what was called before them; else what could be gained. */
export function sharesWithCorrection(
  words: SectionWords,
  findings: Findings,
  level: number,
  focus: readonly string[],
): SectionWords {
  const offer = validationOffer(findings, focus);
  if (offer) return { ...words, remarks: [...words.remarks, offer] };
  const lead = correctedSharesLead(findings, level, focus);
  // What is said of the interval of the calls does not hold for the corrected one.
  return withLead(lead ? { ...words, tests: [] } : words, lead, findings);
}

/** The words of Shift with the corrected change at their head. */
export function shiftWithCorrection(words: SectionWords, findings: Findings, level: number): SectionWords {
  const lead = correctedShiftLead(findings, level);
  return withLead(lead ? { ...words, cautions: cautionsOfCorrected(words, findings) } : words, lead, findings);
}

/** The cautions of Shift above a corrected change: that on the observers' calls says which of the two it governs. */
export function cautionsOfCorrected({ cautions = [] }: SectionWords, { shift }: Findings): Sentence[] {
  // The doubt about the observers comes last.
  const ofCalls = shift && mayBeTheObservers(shift) ? cautions.length - 1 : -1;
  return cautions.map((caution, i) =>
    i === ofCalls
      ? say`As called: ${caution} The corrected change allows for how observers err at each place.`
      : caution,
  );
}

function withLead(words: SectionWords, lead: Sentence | null, findings: Findings): SectionWords {
  if (!lead) return words;
  return {
    ...words,
    lead,
    // The picture has both side by side.
    remarks: [asAside(say`As classified, not corrected: ${words.lead}`), ...words.remarks],
    assumed: correctionAssumptions(findings),
  };
}

/** All of it as a section of its own, for readers of plain text; there must be a correction. */
export function correctedWords(findings: Findings, level: number, focus: readonly string[]): SectionWords {
  const nothing = say`There is no corrected share: the notes say why.`;
  const shift = correctedShiftLead(findings, level);
  return {
    lead: correctedSharesLead(findings, level, focus) ?? nothing,
    tests: [],
    remarks: [...(shift ? [shift] : []), ...correctionCounts(findings)],
    assumed: correctionAssumptions(findings),
  };
}
