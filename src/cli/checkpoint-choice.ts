/** The names of the two checkpoints to compare, where they were given. */
export interface CheckpointChoice {
  readonly early?: string | undefined;
  readonly late?: string | undefined;
}

/**
 * What is wrong with the choice: checkpoints that the table does not have, or that are one and the same.
 *
 * @param what the table's rows are
 * @param wordOf how a fault names the choice
 */
export function wrongCheckpoints(
  places: readonly { readonly name: string }[],
  what: 'sighting' | 'mark',
  { early, late }: CheckpointChoice,
  wordOf: (which: 'early' | 'late') => string = (which) => `--${which}`,
): string[] {
  const names = places.map(({ name }) => name);
  const faults = (['early', 'late'] as const).flatMap((which) => {
    const name = which === 'early' ? early : late;
    return name === undefined || names.includes(name)
      ? []
      : [`${wordOf(which)}: there is no ${what} at "${name}"; the checkpoints are ${names.join(', ')}`];
  });
  const first = early ?? names[0];
  if (faults.length === 0 && names.length > 1 && first === (late ?? names.at(-1))) {
    faults.push(`${wordOf('early')} and ${wordOf('late')} are both "${first}"; expected two checkpoints`);
  }
  return faults;
}
