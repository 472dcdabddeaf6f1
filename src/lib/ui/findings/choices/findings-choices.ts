import * as v from 'valibot';
import { SINGLE_FOOT_RULES } from '../../../sightings/runner-classes.ts';
import type { FindingsChoices, SquadRequest } from '../worker/findings-messages.ts';

/** Levels of intervals to choose from. */
export const INTERVAL_LEVELS: readonly number[] = [0.9, 0.95, 0.99];

const keptSchema = v.object({
  early: v.optional(v.string()),
  late: v.optional(v.string()),
  level: v.optional(v.pipe(v.number(), v.gtValue(0), v.ltValue(1))),
  singleFoot: v.optional(v.picklist(SINGLE_FOOT_RULES)),
});

/** Choices as they were kept; nothing where they are none. */
export function choicesOfKept(kept: unknown): FindingsChoices {
  const read = v.safeParse(keptSchema, kept);
  return read.success ? read.output : {};
}

const keptSquadSchema = v.object({
  squad: v.object({ team: v.nullable(v.string()), bibs: v.array(v.string()) }),
});

/** The squad as it was kept; nobody where none was. */
export function squadOfKept(kept: unknown): SquadRequest {
  const read = v.safeParse(keptSquadSchema, kept);
  return read.success ? read.output.squad : { team: null, bibs: [] };
}
