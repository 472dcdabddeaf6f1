/** Figures of the trend come out of an iteration: they are held to this. */
const RELATIVE_TREND = 1e-6;
/** In one race, and in several. */
const TREND = /^\.(shift\.trend|runners\.trend|trend)\./;
const RELATIVE = 1e-9;
/** Below this a difference is rounding; not for p-values, whose small ones are figures too. */
const ABSOLUTE = 1e-12;
const P_VALUES = new Set(['p', 'exactP', 'midP', 'adjustedP']);
const LEAST_P = 1e-300;

/**
 * Where `found` differs from `expected`, each with its path; empty when all is the same. Texts, nulls and lengths must
 * be equal, numbers within the tolerances above. `notes` is not compared, and `found` may have more keys.
 */
export function figureDifferences(expected: unknown, found: unknown, path = ''): string[] {
  const key = path.slice(path.lastIndexOf('.') + 1).replace(/\[.*/, '');
  if (typeof expected === 'number' && typeof found === 'number') {
    const relative = TREND.test(path) ? RELATIVE_TREND : RELATIVE;
    const floor = P_VALUES.has(key) ? LEAST_P : ABSOLUTE;
    const near = Math.abs(expected - found) <= Math.max(relative * Math.abs(expected), floor);
    return near ? [] : [`${path}: expected ${expected}, found ${found}`];
  }
  if (Array.isArray(expected) && Array.isArray(found)) {
    const length = expected.length === found.length ? [] : [`${path}: ${found.length} entries, not ${expected.length}`];
    return [...length, ...expected.flatMap((entry, i) => figureDifferences(entry, found[i], `${path}[${i}]`))];
  }
  if (isObject(expected) && isObject(found)) {
    return Object.keys(expected)
      .filter((name) => name !== 'notes')
      .flatMap((name) => figureDifferences(expected[name], found[name], `${path}.${name}`));
  }
  return Object.is(expected, found)
    ? []
    : [`${path}: expected ${JSON.stringify(expected)}, found ${JSON.stringify(found)}`];
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Every number in a tree of figures, with its path. */
export function numbersIn(value: unknown, path = ''): { path: string; value: number }[] {
  if (typeof value === 'number') return [{ path, value }];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, part]) => numbersIn(part, `${path}.${name}`));
}
