import type { Race } from '../../race/race.ts';
import { saveBlob } from '../save-blob.ts';
import type { TallyState } from './tally-state.svelte.ts';

/** Saves what could not be kept as a hand-off file. */
export async function saveUnwritten(race: Race, tally: TallyState): Promise<void> {
  const [{ writeHandoff, HANDOFF_EXTENSION }, records] = await Promise.all([
    import('../../tables/handoff-file.ts'),
    tally.writer.asRecords(),
  ]);
  const blob = new Blob([...writeHandoff(race, records)], { type: 'application/x-ndjson' });
  saveBlob(blob, `not-kept-${tally.observer}${HANDOFF_EXTENSION}`);
}
