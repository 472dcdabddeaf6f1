import * as v from 'valibot';
import { keptPlanSchema, type KeptPlan } from '../plan/kept-plan.ts';
import type { KerbsideDatabase } from './database.ts';

// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `plan:${raceId}`;

/** The plan kept with a race; `undefined` when there is none, or one that this version cannot read. */
export async function loadPlan(db: KerbsideDatabase, raceId: string): Promise<KeptPlan | undefined> {
  const read = v.safeParse(keptPlanSchema, (await db.settings.get(keyOf(raceId)))?.value);
  return read.success ? read.output : undefined;
}

export async function savePlan(db: KerbsideDatabase, raceId: string, plan: KeptPlan): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: plan });
}
