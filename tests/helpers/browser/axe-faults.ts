import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from '@playwright/test';

/**
 * What axe finds at fault on the page as it stands, a line for each broken rule with the places; by `tags` only the rules
 * that carry one of them.
 */
export async function axeFaults(page: Page, tags?: string[]): Promise<string[]> {
  // Run within the page: otherwise axe is loaded into a second page each time, only to put frames together.
  if (page.frames().length !== 1) throw new Error('axe is run in the page itself, and would not see into its frames');
  const axe = new AxeBuilder({ page }).options({ resultTypes: ['violations'] }).setLegacyMode();
  const { violations } = await (tags ? axe.withTags(tags) : axe).analyze();
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target).join(' ')}`);
}
