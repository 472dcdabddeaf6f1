import type { PlanDraft } from '../../plan/plan-draft.ts';
import type { PlanFigures } from '../../plan/plan-figures.ts';
import { PLAN_DEFAULTS, medianFor } from '../../plan/resolve-plan.ts';
import type { Race } from '../../race/race.ts';
import { choiceForm, clockForm, inHundredForm, plainNumber, severalForm, type EntryForm } from './read-entry.ts';

/** An assumption that can be changed in place: how it is called, what stands, and how a new value enters the plan. */
export interface AssumptionField {
  /** As `inputs.assumed` names it. */
  readonly path: string;
  readonly label: string;
  readonly unit: string;
  /** As it is written in its field; empty where nothing is assumed. */
  readonly value: string;
  /** Whether a person said it. */
  readonly said: boolean;
  /** Whether it is several numbers in a row. */
  readonly several: boolean;
  /** Values and their words, where only these may be chosen. */
  readonly choices?: readonly (readonly [value: string, words: string])[];
  /** Empty takes the default again; `null` for what cannot be read. */
  readonly set: (draft: PlanDraft, text: string) => PlanDraft | null;
}

export interface AssumptionGroup {
  readonly title: string;
  readonly fields: readonly AssumptionField[];
}

type Answers = PlanDraft['answers'];
type GroupName = 'field' | 'shift' | 'classes' | 'agreement' | 'validation';

interface Asked<Value> {
  readonly path: string;
  readonly label: string;
  readonly form: EntryForm<Value>;
  readonly given: Value | undefined;
  /** `null` where nothing is assumed. */
  readonly byDefault: Value | null;
  readonly into: (draft: PlanDraft, value: Value | undefined) => PlanDraft;
  readonly words?: Readonly<Record<string, string>>;
}

function asField<Value>({ path, label, form, given, byDefault, into, words }: Asked<Value>): AssumptionField {
  const value = given ?? byDefault;
  return {
    ...{ path, label, unit: form.unit, value: value === null ? '' : form.write(value), said: given !== undefined },
    several: form.several === true,
    ...(words ? { choices: Object.entries(words) } : {}),
    set: (draft, text) => {
      if (text.trim() === '') return into(draft, undefined);
      const read = form.read(text);
      return read === null ? null : into(draft, read);
    },
  };
}

/** The assumptions of a plan: the few that matter most first, the others by what they are about. */
export class Assumptions {
  readonly #race: Race;
  readonly #draft: PlanDraft;
  readonly #figures: PlanFigures;

  constructor(race: Race, draft: PlanDraft, figures: PlanFigures) {
    this.#race = race;
    this.#draft = draft;
    this.#figures = figures;
  }

  /** What changes the answer most. */
  get first(): AssumptionField[] {
    return [
      ...(this.#figures.inputs.source === 'results' ? [] : [this.#median()]),
      ...this.#places('secondsEach', 'seconds a runner', plainNumber('s')),
      this.#member('shift', 'rearfootEarly', 'Rearfoot early', inHundredForm, PLAN_DEFAULTS.shift.rearfootEarly),
      this.#member('shift', 'changed', 'Runners who change', inHundredForm, PLAN_DEFAULTS.shift.changed),
      this.#member('shift', 'toRearfoot', 'Of them to rearfoot', inHundredForm, PLAN_DEFAULTS.shift.toRearfoot),
    ];
  }

  get groups(): AssumptionGroup[] {
    return [
      { title: 'Start and pace', fields: this.#startAndPace() },
      { title: 'Runners and observers at each place', fields: this.#atEachPlace() },
      { title: 'What is compared, and how surely', fields: this.#compared() },
      { title: 'The classes', fields: this.#classes() },
      { title: 'The same runners classed by two observers', fields: this.#agreement() },
      { title: 'Eyes that err, and clips to validate them', fields: this.#validation() },
    ];
  }

  #startAndPace(): AssumptionField[] {
    const withResults = this.#figures.inputs.source === 'results';
    const { spread, clock, finishShare, slowing } = PLAN_DEFAULTS;
    const words = { gun: 'from the gun', net: 'from the start line' };
    return [
      this.#top('km', 'Length of the course', plainNumber('km'), this.#race.km ?? null),
      ...(withResults
        ? []
        : [this.#member('field', 'spread', 'Spread of finish times', plainNumber('of ln time'), spread)]),
      this.#member(
        ...(['field', 'clock', 'Finish times count', choiceForm(['gun', 'net'])] as const),
        ...([this.#race.finishClock ?? clock, words] as const),
      ),
      this.#member('field', 'finishShare', 'Starters who finish', inHundredForm, finishShare),
      this.#member('field', 'slowing', 'Slowing over the course', plainNumber('0 is even'), slowing),
    ];
  }

  #atEachPlace(): AssumptionField[] {
    const words = { turns: 'in turn', split: 'each has own bibs' };
    return [
      ...this.#places('walking', 'walkers', inHundredForm),
      ...this.#places('bibRead', 'bibs read', inHundredForm),
      ...this.#places('feetSeen', 'feet seen', inHundredForm),
      this.#top('pack', 'Runners who pass as one', plainNumber('mean'), PLAN_DEFAULTS.pack),
      this.#top(
        'arrangement',
        'Observers take runners',
        choiceForm(['turns', 'split']),
        PLAN_DEFAULTS.arrangement,
        words,
      ),
    ];
  }

  #compared(): AssumptionField[] {
    const { checkpoints } = this.#race;
    const places = Object.fromEntries(checkpoints.map(({ id, name }) => [id, name]));
    const place = choiceForm(checkpoints.map(({ id }) => id));
    const idOf = (name: string | null): string | null => checkpoints.find((one) => one.name === name)?.id ?? null;
    const { early, late } = this.#figures.inputs;
    const aims = { shift: 'a shift', share: 'a share at each place' };
    const aim = checkpoints.length > 1 ? 'shift' : 'share';
    return [
      this.#top('early', 'Early at', place, idOf(early), places),
      this.#top('late', 'Late at', place, idOf(late ?? early), places),
      this.#top('aim', 'The rule is to serve', choiceForm(['shift', 'share']), aim, aims),
      this.#top('keep', 'For a share: due runners classed at the peak', inHundredForm, PLAN_DEFAULTS.keep),
      this.#top('level', 'Level of intervals', inHundredForm, PLAN_DEFAULTS.level),
      this.#top('power', 'Races in which a shift should be noticed', inHundredForm, PLAN_DEFAULTS.power),
    ];
  }

  #classes(): AssumptionField[] {
    const four = severalForm(4, 'rearfoot : midfoot : forefoot : asymmetric');
    const quarters = severalForm(4, 'in 100, fastest first', inHundredForm);
    return [
      this.#shareOfClasses('early', 'Class shares early', four),
      this.#shareOfClasses('late', 'Class shares late', four),
      this.#top('quarterRearfoot', 'Rearfoot in each finish-time quarter', quarters, null),
    ];
  }

  #agreement(): AssumptionField[] {
    const { shares, kappa, width, feetTogether } = PLAN_DEFAULTS.agreement;
    const three = severalForm(3, 'rearfoot : midfoot : forefoot');
    return [
      this.#member('agreement', 'kappa', 'Kappa', plainNumber('0 to 1'), kappa),
      this.#member('agreement', 'width', 'Width of its interval', plainNumber('in all'), width),
      this.#member('agreement', 'shares', 'Classes of single feet', three, [...shares]),
      this.#member(
        'agreement',
        'feetTogether',
        'How far both feet of a runner count as one',
        plainNumber('0 to 1'),
        feetTogether,
      ),
    ];
  }

  #validation(): AssumptionField[] {
    const { sensitivity, specificity, secondsPerClip, halfWidth } = PLAN_DEFAULTS.validation;
    return [
      this.#member('validation', 'sensitivity', 'Observers right on rearfoot', inHundredForm, sensitivity),
      this.#member('validation', 'specificity', 'Observers right on the others', inHundredForm, specificity),
      this.#member('validation', 'secondsPerClip', 'Work on one clip', plainNumber('s'), secondsPerClip),
      this.#member('validation', 'halfWidth', 'Corrected share to ±', inHundredForm, halfWidth),
    ];
  }

  #median(): AssumptionField {
    const km = this.#draft.answers.km ?? this.#race.km ?? 0;
    return this.#member('field', 'median', 'Median finish', clockForm, medianFor(km));
  }

  #top<Name extends keyof Answers>(
    name: Name,
    label: string,
    form: EntryForm<NonNullable<Answers[Name]>>,
    byDefault: NonNullable<Answers[Name]> | null,
    words?: Readonly<Record<string, string>>,
  ): AssumptionField {
    return asField({
      ...{ path: name, label, form, byDefault },
      given: this.#draft.answers[name] as NonNullable<Answers[Name]> | undefined,
      into: (draft, value) => ({ ...draft, answers: withMember(draft.answers, name, value) }),
      ...(words ? { words } : {}),
    });
  }

  #member<Value>(
    group: GroupName,
    name: string,
    label: string,
    form: EntryForm<Value>,
    byDefault: Value | null,
    words?: Readonly<Record<string, string>>,
  ): AssumptionField {
    const members = this.#draft.answers[group] as Readonly<Record<string, Value>> | undefined;
    return asField({
      ...{ path: `${group}.${name}`, label, form, byDefault, given: members?.[name] },
      into: (draft, value) => ({
        ...draft,
        answers: withMember(draft.answers, group, withMember(draft.answers[group] ?? {}, name, value)),
      }),
      ...(words ? { words } : {}),
    });
  }

  /** Early and late are compared: one of them alone is the same at both. */
  #shareOfClasses(name: 'early' | 'late', label: string, form: EntryForm<number[]>): AssumptionField {
    return asField({
      ...{ path: `classes.${name}`, label, form, byDefault: null, given: this.#draft.answers.classes?.[name] },
      into: (draft, value) => {
        const classes = value && { early: value, late: value, ...draft.answers.classes, [name]: value };
        return { ...draft, answers: withMember(draft.answers, 'classes', classes) };
      },
    });
  }

  #places(member: PlaceMember, label: string, form: EntryForm<number>): AssumptionField[] {
    return this.#race.checkpoints.map(({ id, name }) =>
      asField({
        ...{ path: `checkpoints.${name}.${member}`, label: `${name}: ${label}`, form },
        ...{ given: this.#draft.places[id]?.[member], byDefault: PLAN_DEFAULTS.checkpoint[member] },
        into: (draft, value) => ({
          ...draft,
          places: { ...draft.places, [id]: withMember(draft.places[id] ?? {}, member, value) },
        }),
      }),
    );
  }
}

type PlaceMember = 'secondsEach' | 'bibRead' | 'feetSeen' | 'walking';

function withMember<Members extends object>(members: Members, name: string, value: unknown): Members {
  const others = Object.entries(members).filter(([key]) => key !== name);
  return Object.fromEntries(value === undefined ? others : [...others, [name, value]]) as Members;
}
