import { clock, count, decimal, distance, listed, NO_FIGURE } from '../words/numbers.ts';
import type { ExpectedRunners } from './kept-plan.ts';
import type { Outlook, Prospect } from './outlook.ts';
import { ruleName } from './rule-words.ts';
import type { ChangeFigures } from './planned-shift-figures.ts';
import type { PlanFigures } from './plan-figures.ts';

/** Powers as a person says them: in how many of ten such races. */
export function inTenRaces(power: number): string {
  if (power >= 0.995) return 'nearly every one';
  if (power >= 0.95) return 'more than 9 of 10';
  const tenths = Math.round(power * 10);
  return tenths === 0 ? 'fewer than 1 of 10' : `${count(tenths)} of 10`;
}

/** A share as a number in a hundred. */
export const inHundred = (share: number): string => count(Math.round(share * 100));

/** By the exact test, which is never too quick to see a shift. */
export const noticed = ({ power }: ChangeFigures): number | null => power.exact;

/** A checkpoint by its name and km. */
export function placeName(figures: PlanFigures, checkpoint: string): string {
  const km = figures.flow.find((flow) => flow.checkpoint === checkpoint)?.km;
  return km === undefined ? checkpoint : `${checkpoint} (${distance(km)})`;
}

/** The answer first: how many at both, and how often such a shift would be noticed by eyes that err. */
export function planAnswer(figures: PlanFigures): string {
  const { shift, expected, precision } = figures;
  if (shift === null) {
    const [only] = precision.shares;
    const half = only?.halfWidth;
    const n = expected.checkpoints.find(({ checkpoint }) => checkpoint === figures.inputs.early)?.classified ?? 0;
    const width = half ? ` Their rearfoot share will be known to ±${count(Math.round(half * 100))} in 100.` : '';
    return `About ${count(Math.round(n))} runners will be classed.${width}`;
  }
  const power = noticed(shift.throughEyes);
  const pairs = `About ${count(Math.round(expected.pairs ?? 0))} runners will be classed at both.`;
  if (power === null) return `${pairs} No shift can be noticed.`;
  const early = precision.shares[0]!.share;
  const late = precision.shares[1]!.share;
  return `${pairs} A shift from ${inHundred(early)} to ${inHundred(late)} in 100 would be noticed in ${inTenRaces(power)} such races.`;
}

/** What one more observer at the best place would change, as the second half of the answer; `null` where nothing. */
export function helpWords(figures: PlanFigures, { now, oneMore }: Outlook): string | null {
  const gain = (prospect: Prospect): number => (prospect.noticed ?? 0) - (now.noticed ?? 0);
  const best = [...oneMore].sort((a, b) => gain(b) - gain(a))[0];
  if (!best || best.noticed === null || gain(best) < 0.005) return null;
  return `With one more observer at ${placeName(figures, best.checkpoint)} it would be ${inTenRaces(best.noticed)}.`;
}

/** What two observers at the same runners would have to class to know a kappa as closely as asked. */
export function plannedAgreementWords({ agreement, expected, inputs }: PlanFigures): string {
  if (agreement.units === null || agreement.runners === null)
    return 'How well observers agree cannot be planned from this.';
  const early = expected.checkpoints.find(({ checkpoint }) => checkpoint === inputs.early)?.classified ?? 0;
  const many = agreement.runners > early ? ': more than one of them will class there' : '';
  return `To know a kappa of ${decimal(agreement.kappa)} as closely as asked, two observers must class the same ${count(agreement.runners)} runners at ${inputs.early}${many}.`;
}

/** What filming would take to correct the share at the early checkpoint. */
export function validationWords({ validation, inputs }: PlanFigures): string {
  const { clips, runners, raw, free } = validation;
  const eyes = `Eyes as assumed would find ${inHundred(raw)} in 100 rearfoot at ${inputs.early}.`;
  if (clips === null) {
    return `${eyes} Clips of all ${count(runners)} runners classed there would not correct the share as closely as asked.`;
  }
  const best =
    free.runners === null || free.clips === null || free.seconds === null
      ? ''
      : ` Least work: ${count(free.clips)} clips of ${count(free.runners)} runners classed, ${clock(free.seconds)} of work in all.`;
  return `${eyes} Clips of ${count(clips)} of the ${count(runners)} runners classed there, drawn at random, correct the share as closely as asked.${best}`;
}

/** What a kept plan expects, as a clause. */
export function keptWords({ places, pairs }: ExpectedRunners): string {
  if (pairs !== null) return `about ${count(Math.round(pairs))} runners classed at both`;
  return listed(
    places.map(({ checkpoint, classified }) => `about ${count(Math.round(classified))} classed at ${checkpoint}`),
  );
}

/** What passes and what is classed at the fullest minute. */
export function peakWords({ flow, capacity }: PlanFigures, checkpoint: string): string {
  const at = flow.findIndex((one) => one.checkpoint === checkpoint);
  const peak = flow[at]?.peak;
  const rule = capacity[at]?.rule;
  if (!peak || !rule || rule.atPeak === null || peak.minute === null) return 'nobody passes';
  const classed = Math.round(peak.count * rule.due * rule.atPeak);
  return `${count(peak.count)} pass in the fullest minute, ${clock(peak.minute * 60).slice(0, -3)} after the gun; ${count(classed)} can be classed`;
}

/** The rules side by side. */
export function ruleTable(figures: PlanFigures, { byRule }: Outlook, shown: readonly Prospect[] = byRule): TableRows {
  const { inputs, flow } = figures;
  const at = (name: string): number => flow.findIndex(({ checkpoint }) => checkpoint === name);
  const places = inputs.late === null ? [inputs.early] : [inputs.early, inputs.late];
  return {
    columns: [
      'rule',
      ...places.map((name) => `classed at ${name}`),
      ...(inputs.late === null ? ['± in 100'] : ['at both', 'noticed in 10 races']),
    ],
    rows: shown.map(({ rule, classified, pairs, noticed: power, halfWidth }) => [
      ruleName(rule),
      ...places.map((name) => count(Math.round(classified[at(name)]!))),
      ...(inputs.late === null
        ? [halfWidth === null ? NO_FIGURE : decimal(halfWidth * 100, 1)]
        : [count(Math.round(pairs ?? 0)), tenths(power)]),
    ]),
  };
}

export interface TableRows {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** Of the many rules those that a person weighs: everyone, a few endings, every second and third, windows, and the one gone by. */
export function rulesToShow({ rule }: PlanFigures, { now, byRule }: Outlook): Prospect[] {
  const few = new Set(['everyone', 'bib endings, five in ten', 'bib endings, three in ten', 'every 2nd', 'every 3rd']);
  few.add('5 minutes of 10');
  few.add(ruleName(rule));
  const known = byRule.filter((prospect) => few.has(ruleName(prospect.rule)));
  return known.some((prospect) => ruleName(prospect.rule) === ruleName(rule)) ? known : [now, ...known];
}

/** A power as races in ten, for a table. */
export const tenths = (power: number | null): string => (power === null ? NO_FIGURE : decimal(power * 10, 1));
