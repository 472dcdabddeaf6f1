import { BALANCED_MIX, RACE_MIX, type Mix } from '../../lib/practice/practice-levels.ts';

const NAMED_MIXES: Readonly<Record<string, Mix>> = { balanced: BALANCED_MIX, race: RACE_MIX };

/** The weights that `--mix` gives, or one sentence on what is wrong with it. */
export function mixOf(text: string, names: readonly string[]): Mix | string {
  if (names.includes(text)) return NAMED_MIXES[text]!;
  const parts = text.split(',').map((part) => (/^\s*(?:\d+\.?\d*|\.\d+)\s*$/.test(part) ? Number(part) : NaN));
  const [rearfoot, midfoot, forefoot] = parts;
  const sum = parts.reduce((whole, part) => whole + part, 0);
  if (parts.length !== 3 || !(sum > 0) || !Number.isFinite(sum)) {
    const named = names.length > 0 ? `${names.join(', ')} or ` : '';
    return `--mix: "${text}" is not ${named}three weights of rearfoot, midfoot and forefoot, such as 80,15,5`;
  }
  return [rearfoot!, midfoot!, forefoot!];
}
