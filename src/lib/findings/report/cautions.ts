import { FINDINGS_CAUTIONS } from '../sentences/sentences-cautions.ts';
import { escaped } from './escaped.ts';

/** What every reader of findings must be told, at the foot of a page; what sections said above is left out of `said`. */
export function cautions(said: readonly string[] = FINDINGS_CAUTIONS): string {
  return `<footer><ul>${said.map((caution) => `<li>${escaped(caution)}</li>`).join('')}</ul></footer>`;
}
