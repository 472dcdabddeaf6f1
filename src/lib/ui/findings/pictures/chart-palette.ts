import type { Tone } from '../../../findings/series-picture.ts';

/** The colours and types a picture is drawn with, read from the page's design tokens. */
export interface ChartPalette {
  readonly paper: string;
  readonly ink: string;
  readonly ink2: string;
  readonly line: string;
  readonly tones: Readonly<Record<Tone, string>>;
  readonly sans: string;
}

const TOKENS: Readonly<Record<Tone, string>> = {
  rearfoot: '--rearfoot-fill',
  midfoot: '--midfoot-fill',
  forefoot: '--forefoot-fill',
  asymmetric: '--asymmetric-fill',
  first: '--series-1',
  second: '--series-2',
  third: '--series-3',
  fourth: '--series-4',
  muted: '--line-strong',
};

/** The palette of the theme the page is in. */
export function currentPalette(): ChartPalette {
  // A token's own value may still name both themes' colours: only where a token is used does the browser choose.
  const probe = document.body.appendChild(document.createElement('span'));
  const used = getComputedStyle(probe);
  const colour = (token: string): string => {
    probe.style.color = `var(${token})`;
    return used.color;
  };
  try {
    return {
      paper: colour('--paper'),
      ink: colour('--ink'),
      ink2: colour('--ink-2'),
      line: colour('--line'),
      tones: Object.fromEntries(Object.entries(TOKENS).map(([tone, token]) => [tone, colour(token)])) as Record<
        Tone,
        string
      >,
      sans: used.getPropertyValue('--sans').trim(),
    };
  } finally {
    probe.remove();
  }
}

/** The palette for paper and saved files, whatever theme the page is in. */
export function lightPalette(): ChartPalette {
  const { dataset } = document.documentElement;
  const before = dataset['theme'];
  // Tokens can only be asked of a theme that is on; nothing is painted before it is set back.
  dataset['theme'] = 'light';
  try {
    return currentPalette();
  } finally {
    if (before === undefined) delete dataset['theme'];
    else dataset['theme'] = before;
  }
}
