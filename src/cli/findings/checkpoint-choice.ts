import { earlyAndLate, type CheckpointChoice } from '../../lib/race/early-and-late.ts';

/**
 * What is wrong with the choice: a checkpoint that the table does not have, or both are one and the same.
 *
 * @param what the table's rows are
 * @param wordOf how a fault names the choice
 */
export function wrongCheckpoints(
  places: readonly { readonly name: string }[],
  what: 'sighting' | 'mark',
  choice: CheckpointChoice,
  wordOf: (which: 'early' | 'late') => string = (which) => `--${which}`,
): string[] {
  const found = earlyAndLate(places, choice);
  if (found.ok) return [];
  const { error } = found;
  if (error.type === 'same-checkpoint') {
    return [`${wordOf('early')} and ${wordOf('late')} are both "${error.name}"; expected two checkpoints`];
  }
  const names = places.map(({ name }) => name).join(', ');
  return [`${wordOf(error.option)}: there is no ${what} at "${error.name}"; the checkpoints are ${names}`];
}
