import * as v from 'valibot';
import { planDraftSchema, type PlanDraft } from '../../plan/plan-draft.ts';
import type { KerbsideDatabase } from '../database.ts';

// The race's id in the key: erasing a race finds its settings by it.
const keyOf = (raceId: string) => `plan:${raceId}`;

/** The plan kept with a race; `undefined` when there is none, or one that this version cannot read. */
export async function loadPlanDraft(db: KerbsideDatabase, raceId: string): Promise<PlanDraft | undefined> {
  const read = v.safeParse(planDraftSchema, (await db.settings.get(keyOf(raceId)))?.value);
  return read.success ? read.output : undefined;
}

export async function savePlanDraft(db: KerbsideDatabase, raceId: string, plan: PlanDraft): Promise<void> {
  await db.settings.put({ key: keyOf(raceId), value: plan });
}
