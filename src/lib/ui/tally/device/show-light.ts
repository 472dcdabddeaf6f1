import type { TallyHandling } from '../../../store/race/tally-settings.ts';

/** Shows the page in the light that was chosen. */
export function showLight({ light }: Pick<TallyHandling, 'light'>): void {
  if (light === 'auto') delete document.documentElement.dataset['theme'];
  else document.documentElement.dataset['theme'] = light;
}
