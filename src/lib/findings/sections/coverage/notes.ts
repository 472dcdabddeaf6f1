import type { Coverage } from './figures.ts';

export function coverageNotes({ finishers, checkpoints }: Coverage): string[] {
  if (finishers === 0) {
    return ['coverage has no shares: nobody in the results has a finish.'];
  }
  const notes: string[] = [];
  if (checkpoints[0]?.quarterShare.includes(null)) {
    notes.push('quarterShare is null for a quarter without a finisher (tied times); it has no weight.');
  }
  const names = (found: Coverage['checkpoints']): string => found.map(({ checkpoint }) => checkpoint).join(', ');
  const unseen = checkpoints.filter(({ standardisedRearfoot }) => standardisedRearfoot === null);
  if (unseen.length > 0) {
    notes.push(
      `standardisedRearfoot is null at ${names(unseen)}: a quarter of the finishers has nobody classified there.`,
    );
  }
  const steady = checkpoints.filter(({ standardisedRearfoot: s }) => s !== null && s.low === null);
  if (steady.length > 0) {
    notes.push(
      `standardisedRearfoot has no interval at ${names(steady)}: within each quarter all are rearfoot or none is, and no variation seen is no certainty.`,
    );
  }
  return notes;
}
