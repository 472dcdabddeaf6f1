import { clock, count, distance, listed, percent } from '../words/numbers.ts';
import type { PlanFigures } from './plan-figures.ts';
import { medianFor, type Plan } from './resolve-plan.ts';
import { ruleReason } from './rule-words.ts';

type Figures = Omit<PlanFigures, 'notes'>;

/** Quarter shares less even than this are worth a sentence. */
const EVEN = 0.9;
/** Last year's median may differ so much, either way, from what the distance lets expect. */
const UNUSUAL = 1.6;

/** What a reader of the figures must know: cautions where they apply, and why a figure is `null`. */
export function planNotes(plan: Plan, figures: Figures): string[] {
  return [...planCautions(plan, figures), ...nullNotes(plan, figures)];
}

/** Of the notes those for who plans a race, and not for who reads the figures. */
export function planCautions(plan: Plan, figures: Figures): string[] {
  return [...fieldNotes(plan, figures), ...ruleNotes(plan, figures), ...classingNotes(plan, figures)];
}

function fieldNotes(plan: Plan, { inputs, flow }: Figures): string[] {
  const out = ['Counts are what to expect, about: they scatter from race to race and are no promise.'];
  if (inputs.source === 'lognormal') {
    out.push(
      'The fullest minute of a real race exceeds an expected one: at the finish of a ten-mile race this field gave 231 runners a minute, the fullest minute had 280.',
    );
  } else {
    out.push(...otherDistance(plan, inputs.median));
  }
  if (plan.checkpoints.some(({ km }) => km > 0 && km < plan.km)) {
    out.push('The rule of thumb (0.6 × runners ÷ km) is higher than the flow before the finish.');
  }
  for (const { checkpoint, passing } of flow) {
    if (passing === 0) out.push(`Nobody passes ${checkpoint}: minutes, shares and evenness there are null.`);
  }
  return out;
}

function otherDistance({ km }: Plan, median: number): string[] {
  const usual = medianFor(km);
  if (median < usual * UNUSUAL && median > usual / UNUSUAL) return [];
  return [
    `Last year's median finish is ${clock(median)}; over ${distance(km)} about ${clock(usual)} is usual. Are these the times of another distance?`,
  ];
}

function ruleNotes({ aim, keep }: Plan, { rule, recommended }: Figures): string[] {
  const out = [ruleReason(rule)];
  if (rule.from === 'none') {
    out.push(
      aim === 'shift'
        ? 'No rule gives pairs, so none is recommended: everyone is taken.'
        : 'Not even every 100th runner could be kept up with, so no rule is recommended: everyone is taken.',
    );
  }
  if (recommended.share === null && aim === 'shift') {
    out.push(`recommended.share is null: not even every 100th keeps ${percent(keep)} of the due runners everywhere.`);
  }
  return out;
}

function classingNotes(plan: Plan, { capacity }: Figures): string[] {
  const out: string[] = [];
  const uneven = capacity.filter(({ rule }) => rule.evenness !== null && rule.evenness < EVEN);
  if (uneven.length > 0) {
    out.push(
      `At ${listed(uneven.map(({ checkpoint }) => checkpoint))} chances are uneven: the middle quarters of the field pass densest and are missed most. The share standardised to the finish-time quarters repairs that once results are there.`,
    );
  }
  out.push(
    'Packs are worse than a steady stream: the one classed is the one in front or on the near side, the others are missed within every quarter, and no weighting repairs that. A rule fixed beforehand, by bib or by count, takes the choice from the eye.',
  );
  if (plan.early !== plan.late) {
    out.push(
      'Pairs allow for paces that are not even to the second. Were they, pairs would be a third more (simulated: 371 for 280), as gaps in the field would stay gaps; 0.1 % of unevenness leaves 3 %.',
    );
  }
  for (const { name, observers } of plan.checkpoints) {
    if (observers === 0) out.push(`Nobody observes at ${name}: the shares classed there are 0.`);
  }
  return out;
}

function nullNotes(plan: Plan, figures: Figures): string[] {
  const { shift, separate, agreement, validation, bias, precision } = figures;
  const out: string[] = [];
  const say = (when: boolean, sentence: string): void => void (when && out.push(sentence));
  say(shift === null, 'One checkpoint: no pairs, no shift and no comparison of two samples.');
  say(shift?.pairs === 0, 'No pairs are expected: power and the smallest shift are null.');
  say(
    plan.shift.changed === 0 && shift !== null,
    'Nobody is assumed to change: power is 0, and no number of pairs is enough.',
  );
  say(
    shift !== null && plan.shift.changed > 0 && shift.needed.connor === null,
    'As many are assumed to gain the rearfoot as to lose it: there is no shift to show, and pairs needed are null.',
  );
  const beyond = [shift, shift?.throughEyes].some(
    (change) => change?.needed.connor && (change.needed.exact === null || change.needed.midP === null),
  );
  say(beyond, 'Exact numbers of pairs needed are sought up to 10,000; where they are null, more are needed.');
  say(
    shift !== null && shift.pairs > 0 && plan.shift.changed > 0 && shift.smallestShift.exact === null,
    'Not even a change of all in one direction would be shown by the exact test: its smallest shift is null.',
  );
  say(
    precision.shares.some(({ n }) => n === 0),
    'Where nobody is classified an interval is null.',
  );
  say(separate?.rearfoot.df === null, 'All runners are assumed to be of one kind: two separate samples cannot differ.');
  say(
    figures.capacity.some(({ replay }) => replay === null),
    'Without last year’s results nothing is replayed.',
  );
  say(bias === null, 'Without the rearfoot share of each quarter the bias of a raw share is not computed.');
  say(
    separate !== null && separate.classes === null,
    'Without the shares of the four classes early and late their comparison is not computed.',
  );
  say(agreement.ac1.estimate === null, 'One class only: agreement beyond chance is not defined.');
  say(
    agreement.ac1.estimate !== null && agreement.units === null,
    'At full agreement the variance is 0: no number of feet follows from it.',
  );
  say(validation.reliability >= 1, 'Eyes without error need no clips: their numbers are null.');
  say(validation.costRatio === null, 'Classing takes no time: there is no cost ratio, nor what rests on it.');
  say(
    validation.reliability < 1 && validation.clips === null,
    `The share cannot be had to ±${percent(plan.validation.halfWidth)} from ${count(validation.runners)} runners, were every one filmed too.`,
  );
  return out;
}
