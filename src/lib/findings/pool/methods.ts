import { count, counted, levelText, listed } from '../../words/numbers.ts';
import type { MethodStep } from '../sentences/sentences-methods.ts';
import type { Pooled } from './pooled.ts';

/** How several races became one answer, step by step, for these races. Bibliographic details are from memory. */
export function poolSteps(pooled: Pooled, level: number): MethodStep[] {
  const { races, runners } = pooled;
  return [
    {
      topic: 'Several races as one',
      words: `${counted(races.length, 'race')} (${listed(races.map(({ race }) => race))}) ${races.length === 1 ? 'is' : 'are'} taken as a sample of like races. Each effect has a random-effects model of its own: ${effects(pooled)}. The variance between races is estimated by restricted maximum likelihood; the mean has the interval of Hartung and Knapp at ${levelText(level)}, never narrower than the plain one; the prediction interval says where a further race may lie.`,
      sources: [
        'J. Hartung, G. Knapp, Stat Med 20, 2001',
        'C. Röver, G. Knapp, T. Friede, BMC Med Res Methodol 15, 2015',
        'J. P. T. Higgins, S. G. Thompson, D. J. Spiegelhalter, J R Stat Soc A 172, 2009',
      ],
    },
    {
      topic: 'What each race brings',
      words:
        'The share is pooled as log odds, a race with none or all on the rearfoot with half a runner added; the shift as the difference of paired shares, its variance with half a runner added to each of the four cells; the odds of the shift as the log of those who turned to the rearfoot over those who turned away; the trend as the coefficient of the race’s own logistic model for 10 km.',
      sources: ['A. Agresti, Y. Min, Stat Med 24, 2005'],
    },
    {
      topic: 'How far races differ',
      words:
        'Cochran’s Q with inverse variances; I² as the part of the variance that is between races; the interval of the variance between races from the Q profile; each mean again without each race in turn; from ten races on a regression on the distance between the checkpoints.',
      sources: ['W. G. Cochran, Biometrics 10, 1954', 'W. Viechtbauer, Stat Med 26, 2007'],
    },
    ...(runners && runners.coded > 0
      ? [
          {
            topic: 'People over races',
            words: `People are followed by the club’s own codes: ${count(runners.coded)} among the sighted, ${count(runners.linked)} of them classified in two races or more. Their trend is one logistic model by generalised estimating equations with persons as clusters, over the distance from each race’s mean.`,
            sources: ['K.-Y. Liang, S. L. Zeger, Biometrika 73, 1986'],
          },
        ]
      : []),
  ];
}

function effects({ share, difference, oddsRatio, trend }: Pooled): string {
  const has = (name: string, { races, leftOut }: { readonly races: number; readonly leftOut: number }): string =>
    `${name} in ${counted(races, 'race')}${leftOut > 0 ? ` (${count(leftOut)} left out)` : ''}`;
  return listed([
    has('the share', share),
    has('the shift', difference),
    has('its odds', oddsRatio),
    has('the trend over km', trend),
  ]);
}
