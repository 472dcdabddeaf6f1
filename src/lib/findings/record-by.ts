/** An object with one entry for each of the keys, in their order. */
export function recordBy<Key extends string, Value>(
  keys: readonly Key[],
  value: (key: Key, place: number) => Value,
): Record<Key, Value> {
  return Object.fromEntries(keys.map((key, place) => [key, value(key, place)])) as Record<Key, Value>;
}
