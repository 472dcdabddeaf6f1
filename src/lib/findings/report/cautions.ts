import { FINDINGS_CAUTIONS } from '../sentences/sentences-cautions.ts';
import { escaped } from './escaped.ts';

/** What every reader of findings must be told, at the foot of a page. */
export function cautions(): string {
  return `<footer><ul>${FINDINGS_CAUTIONS.map((caution) => `<li>${escaped(caution)}</li>`).join('')}</ul></footer>`;
}
