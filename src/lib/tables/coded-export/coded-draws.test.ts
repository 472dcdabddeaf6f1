import { expect, it } from 'vitest';
import { codedDraws } from './coded-draws.ts';
import { COARSENING_STEPS, NOTHING_KEPT } from './coarsening-steps.ts';

it('tells neither bibs nor seed nor order of review', () => {
  const draws = [
    {
      checkpoint: 'Weir',
      seed: 42,
      drawnAt: '2031-05-04T09:41:17.123Z',
      runners: [
        { bib: '301', live: 'rearfoot' as const },
        { bib: '12', live: 'midfoot' as const },
      ],
    },
  ];
  const codes: Record<string, string> = { '301': 'zz', '12': 'aa' };
  const [coded] = codedDraws(draws, (bib) => codes[bib]!, COARSENING_STEPS[0]!, NOTHING_KEPT);
  expect(coded).toEqual({
    checkpoint: 'Weir',
    seed: null,
    drawnAt: '2031-05-04T00:00:00.000Z',
    runners: [
      { bib: 'aa', live: 'midfoot' },
      { bib: 'zz', live: 'rearfoot' },
    ],
  });
});
