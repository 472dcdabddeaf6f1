import * as v from 'valibot';
import type { Race } from '../race/race.ts';
import type { PlanRecord } from '../records/record.ts';
import { saidSchema, type PlanDraft } from './plan-draft.ts';
import type { PlanFigures } from './plan-figures.ts';

const answersSchema = v.object({
  ...saidSchema.entries,
  /** The file that was planned with; its times stay on the device that read it. */
  lastYear: v.nullable(v.object({ name: v.string(), finishers: v.number() })),
});

/** What a kept plan expects, about. */
export interface ExpectedRunners {
  readonly places: readonly { readonly checkpoint: string; readonly classified: number }[];
  readonly early: string | null;
  readonly late: string | null;
  readonly pairs: number | null;
}

/** What a record of a plan says of its own, whoever makes it. */
export type PlanContent = Pick<PlanRecord, 'kind' | 'answers' | 'expected' | 'early' | 'late' | 'pairs'>;

/** The length to which a file's name is kept. */
const LONGEST_NAME = 120;
/** Expected counts are `about`: thousandths of a runner say enough. */
const rounded = (runners: number): number => Number(runners.toFixed(3));

/**
 * A plan and what it expects as it is kept with the race. Checkpoints go by their ids, so that one that gets another name is
 * still the same.
 *
 * @param figures computed from this plan of this race
 */
export function planContent(race: Race, draft: PlanDraft, figures: PlanFigures): PlanContent {
  const { answers, places, rule, lastYear } = draft;
  const { expected, inputs } = figures;
  const idOf = (name: string): string => race.checkpoints.find((checkpoint) => checkpoint.name === name)?.id ?? name;
  const said: v.InferOutput<typeof answersSchema> = {
    ...{ answers, places, rule },
    lastYear: lastYear && { name: lastYear.name.slice(0, LONGEST_NAME), finishers: lastYear.finishes.length },
  };
  return {
    kind: 'plan',
    answers: JSON.stringify(said),
    expected: expected.checkpoints.map(({ checkpoint, classified }) => ({
      ...{ checkpoint: idOf(checkpoint), classified: rounded(classified) },
    })),
    ...(inputs.late === null || expected.pairs === null
      ? {}
      : { early: idOf(inputs.early), late: idOf(inputs.late), pairs: rounded(expected.pairs) }),
  };
}

/** A kept plan, to be worked on again; `null` for one that this version cannot read. */
export function draftOfKept({ answers }: Pick<PlanRecord, 'answers'>): {
  readonly draft: PlanDraft;
  readonly lastYear: { readonly name: string; readonly finishers: number } | null;
} | null {
  const read = v.safeParse(answersSchema, parsed(answers));
  if (!read.success) return null;
  const { lastYear, ...said } = read.output;
  return { draft: { ...said, lastYear: null }, lastYear };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** What the kept plan expects, by the checkpoints' names of now. Those that are no more go by their ids. */
export function expectedOf(race: Race, { expected, early, late, pairs }: PlanContent): ExpectedRunners {
  const nameOf = (id: string): string => race.checkpoints.find((checkpoint) => checkpoint.id === id)?.name ?? id;
  return {
    places: expected.map(({ checkpoint, classified }) => ({ checkpoint: nameOf(checkpoint), classified })),
    early: early === undefined ? null : nameOf(early),
    late: late === undefined ? null : nameOf(late),
    pairs: pairs ?? null,
  };
}
