import type { PlanDraft } from '../../plan/plan-draft.ts';
import type { PlanFigures } from '../../plan/plan-figures.ts';
import { medianFor } from '../../plan/resolve-plan.ts';
import type { Race } from '../../race/race.ts';
import { clock } from '../../words/numbers.ts';

/** An assumption that can be changed in place: how it is called, what stands, and how a new value enters the plan. */
export interface AssumptionField {
  /** As `inputs.assumed` names it. */
  readonly path: string;
  readonly label: string;
  readonly unit: string;
  /** As it is written in its field. */
  readonly value: string;
  /** Whether a person said it. */
  readonly said: boolean;
  readonly set: (draft: PlanDraft, text: string) => PlanDraft | null;
}

type Answers = PlanDraft['answers'];

const numberOf = (text: string): number => Number(text.trim().replace(',', '.'));
const hundredths = (share: number): string => String(Number((share * 100).toFixed(2)));

/** Seconds from `h:mm` or `h:mm:ss`; NaN else. */
function secondsOf(text: string): number {
  const match = /^(\d{1,3}):([0-5]\d)(?::([0-5]\d))?$/.exec(text.trim());
  return match ? Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3] ?? 0) : NaN;
}

/** Empty takes the default again; what is no number changes nothing. */
function entry(text: string, read: (text: string) => number): number | undefined | null {
  if (text.trim() === '') return undefined;
  const value = read(text);
  return Number.isFinite(value) ? value : null;
}

/** The assumptions of a plan in the order of its table, those of the places by km. */
export function assumptionFields(race: Race, draft: PlanDraft, figures: PlanFigures): AssumptionField[] {
  const { answers } = draft;
  const km = answers.km ?? race.km ?? 0;
  const own = (
    group: 'field' | 'shift' | 'validation',
    name: string,
    label: string,
    unit: string,
    byDefault: number,
    percent = false,
  ) => {
    const given = (answers[group] as Record<string, unknown> | undefined)?.[name];
    const value = typeof given === 'number' ? given : byDefault;
    const read = percent ? (text: string) => numberOf(text) / 100 : numberOf;
    return field(
      `${group}.${name}`,
      label,
      unit,
      percent ? hundredths(value) : String(value),
      given !== undefined,
      read,
      (before, next) => ({
        ...before,
        [group]: withMember(before[group] ?? {}, name, next),
      }),
    );
  };
  const top = (name: 'pack' | 'level' | 'power', label: string, unit: string, byDefault: number, percent: boolean) => {
    const value = answers[name] ?? byDefault;
    const read = percent ? (text: string) => numberOf(text) / 100 : numberOf;
    return field(
      name,
      label,
      unit,
      percent ? hundredths(value) : String(value),
      answers[name] !== undefined,
      read,
      (before, next) => withMember(before, name, next),
    );
  };
  const median = answers.field?.median ?? medianFor(km);
  return [
    ...(figures.inputs.source === 'results'
      ? []
      : [
          field(
            'field.median',
            'Median finish',
            'h:mm:ss',
            clock(median),
            answers.field?.median !== undefined,
            secondsOf,
            (before, next) => ({ ...before, field: withMember(before.field ?? {}, 'median', next) }),
          ),
          own('field', 'spread', 'Spread of finish times', 'of ln time', 0.163),
        ]),
    own('field', 'finishShare', 'Starters who finish', 'in 100', 0.95, true),
    ...race.checkpoints.flatMap(({ id, name }) => [
      place(draft, id, name, 'secondsEach', 'seconds a runner', 's', 3, false),
      place(draft, id, name, 'walking', 'walkers', 'in 100', 0, true),
    ]),
    ...race.checkpoints.flatMap(({ id, name }) => [
      place(draft, id, name, 'bibRead', 'bibs read', 'in 100', 0.97, true),
      place(draft, id, name, 'feetSeen', 'feet seen', 'in 100', 0.94, true),
    ]),
    top('pack', 'Runners who pass as one', 'mean', 1, false),
    own('shift', 'rearfootEarly', 'Rearfoot early', 'in 100', 0.79, true),
    own('shift', 'changed', 'Runners who change', 'in 100', 0.11, true),
    own('shift', 'toRearfoot', 'Of them to rearfoot', 'in 100', 0.84, true),
    own('validation', 'sensitivity', 'Observers right on rearfoot', 'in 100', 0.95, true),
    own('validation', 'specificity', 'Observers right on the others', 'in 100', 0.85, true),
    top('level', 'Level of intervals', 'in 100', 0.95, true),
    top('power', 'Races in which it should be noticed', 'in 100', 0.8, true),
  ];
}

function field(
  path: string,
  label: string,
  unit: string,
  value: string,
  said: boolean,
  read: (text: string) => number,
  into: (before: Answers, next: number | undefined) => Answers,
): AssumptionField {
  const set = (draft: PlanDraft, text: string): PlanDraft | null => {
    const next = entry(text, read);
    return next === null ? null : { ...draft, answers: into(draft.answers, next) };
  };
  return { path, label, unit, value, said, set };
}

type PlaceMember = 'secondsEach' | 'bibRead' | 'feetSeen' | 'walking';

function place(
  draft: PlanDraft,
  id: string,
  name: string,
  member: PlaceMember,
  label: string,
  unit: string,
  byDefault: number,
  percent: boolean,
): AssumptionField {
  const given = draft.places[id]?.[member];
  const value = given ?? byDefault;
  const set = (before: PlanDraft, text: string): PlanDraft | null => {
    const next = entry(text, percent ? (part) => numberOf(part) / 100 : numberOf);
    if (next === null) return null;
    return { ...before, places: { ...before.places, [id]: withMember(before.places[id] ?? {}, member, next) } };
  };
  return {
    path: `checkpoints.${name}.${member}`,
    label: `${name}: ${label}`,
    ...{ unit, value: percent ? hundredths(value) : String(value), said: given !== undefined, set },
  };
}

function withMember<Members extends object>(members: Members, name: string, value: unknown): Members {
  const others = Object.entries(members).filter(([key]) => key !== name);
  return Object.fromEntries(value === undefined ? others : [...others, [name, value]]) as Members;
}
