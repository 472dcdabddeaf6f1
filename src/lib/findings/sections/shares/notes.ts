import type { Findings } from '../../findings.ts';

export function shareNotes({ shares }: Findings): string[] {
  return shares
    .filter(({ classified }) => classified === 0)
    .map(({ checkpoint }) => `Shares at ${checkpoint} are null: nobody was classified there.`);
}
