/**
 * A name for each race of a season, no two alike: that of the race or, of a findings file, the file's without its ending.
 * Where two would be alike the date follows, then a number.
 */
export function seasonNames(
  races: readonly { readonly name: string; readonly date: string }[],
  files: readonly string[],
): string[] {
  const plain = [...races.map(({ name }) => name), ...files.map((file) => file.replace(/\.json$/i, ''))];
  const times = new Map<string, number>();
  for (const name of plain) times.set(name, (times.get(name) ?? 0) + 1);
  const taken = new Set<string>();
  return plain.map((name, i) => {
    const race = races[i];
    const dated = race && (times.get(name) ?? 0) > 1 ? `${name}, ${race.date}` : name;
    let unique = dated;
    for (let number = 2; taken.has(unique); number += 1) unique = `${dated} (${number})`;
    taken.add(unique);
    return unique;
  });
}
