/** A count with its noun: `1 record`, `3 records`. */
export function several(count: number, one: string, more = `${one}s`): string {
  return `${count} ${count === 1 ? one : more}`;
}
