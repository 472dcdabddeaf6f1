import type { CheckInput } from './input/check-input.ts';
import type { Decision } from './decisions.ts';
import type { ProjectedSighting } from '../records/projection.ts';

/** What a decision did, in one sentence for the list of settled doubts. */
export function decisionWords(
  decision: Decision,
  sightings: ReadonlyMap<string, ProjectedSighting>,
  checkpoints: CheckInput['checkpoints'],
): string {
  const place = (id: string | undefined) => checkpoints.find((c) => c.id === id)?.name ?? 'an unknown checkpoint';
  const parts = decision.records.map((record) => {
    if (record.kind === 'ruling') {
      const feet = record.gait === 'walk' ? 'walking' : `left ${record.left}, right ${record.right}`;
      return `${record.bib} at ${place(record.checkpoint)} ruled ${feet.replaceAll('unseen', 'not seen')}`;
    }
    if (record.kind === 'acceptance') return decision.words;
    if (record.kind !== 'correction' && record.kind !== 'withdrawal') return '';
    const target = sightings.get(record.target);
    const bib = target?.record.bib ?? 'no bib';
    const where = place(target?.record.checkpoint);
    if (record.kind === 'withdrawal')
      return `${target?.record.observer ?? 'one'}’s entry of ${bib} at ${where} withdrawn`;
    if (record.bib !== undefined) return `${bib} at ${where} corrected to ${record.bib ?? 'no readable bib'}`;
    if (record.checkpoint !== undefined) return `${bib} at ${where} was at ${place(record.checkpoint)}`;
    return decision.words;
  });
  return parts.join('; ');
}
