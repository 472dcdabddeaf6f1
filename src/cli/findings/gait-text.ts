import { GAIT_FIGURES } from '../../lib/clips/step-figures.ts';
import type { MarkFindings } from '../../lib/findings/analyse-marks.ts';
import type { Findings } from '../../lib/findings/findings.ts';
import { FIGURE_WORDS } from '../../lib/clips/figure-words.ts';
import { figureRange, gaitWords } from '../../lib/findings/sections/gait/words.ts';
import { liveAgainstClipWords } from '../../lib/findings/sections/live-against-clip/words.ts';
import { count, decimal, distance, levelText, pNumber } from '../../lib/words/numbers.ts';
import { plainLines } from '../../lib/findings/sentences/sentences-section.ts';
import { RUNNER_CLASSES } from '../../lib/records/foot.ts';
import { heading } from '../output/text-lines.ts';
import { laidOut, sentence, sentences, table, type TextPart } from '../output/text-parts.ts';

type Gaits = Pick<Findings, 'gait' | 'gaitChange'>;

function groupTables({ gait }: Gaits, level: number): TextPart[] {
  return (gait ?? [])
    .filter(({ passages }) => passages > 0)
    .flatMap(({ checkpoint, km, groups }) => [
      '',
      `${checkpoint} (${distance(km)}), all who ran`,
      ...table(
        ['figure', 'runners', 'mean', `${levelText(level)} interval`, 'SD', 'of it by frames'],
        GAIT_FIGURES.map((figure) => {
          const { n, mean, sd, low, high, frameSd } = groups.all[figure];
          const { name, unit, digits } = FIGURE_WORDS[figure];
          const head = unit ? `${name}, ${unit}` : name;
          return [
            head,
            count(n),
            decimal(mean, digits),
            figureRange(figure, low, high),
            decimal(sd, digits),
            decimal(frameSd, digits),
          ];
        }),
      ),
      ...table(
        ['class', 'runners', 'contact time, s', 'cadence', 'duty factor', 'strike angle, °'],
        [...RUNNER_CLASSES, 'walking' as const].map((name) => {
          const { contact, cadence, duty, strikeAngle } = groups[name];
          return [
            name,
            count(contact.n),
            decimal(contact.mean, 3),
            decimal(cadence.mean, 1),
            decimal(duty.mean, 3),
            decimal(strikeAngle.mean, 1),
          ];
        }),
      ),
    ]);
}

function changeTable({ gaitChange }: Gaits, level: number): TextPart[] {
  if (!gaitChange) return [];
  return [
    '',
    `Runners measured at both, ${gaitChange.late} less ${gaitChange.early}`,
    ...table(
      ['figure', 'runners', 'early', 'late', 'difference', `${levelText(level)} interval`, 'p'],
      GAIT_FIGURES.map((figure) => {
        const { n, early, late, difference, low, high, p } = gaitChange[figure];
        const { name, digits } = FIGURE_WORDS[figure];
        return [
          name,
          count(n),
          decimal(early, digits),
          decimal(late, digits),
          decimal(difference, digits),
          figureRange(figure, low, high),
          pNumber(p),
        ];
      }),
    ),
  ];
}

/** Gait, and live calls against clips, as far as there are marks and clips. */
export function gaitText(
  findings: Pick<Findings, 'gait' | 'gaitChange' | 'liveAgainstClip'>,
  level: number,
): TextPart[] {
  const { gait, gaitChange, liveAgainstClip } = findings;
  return [
    ...(gait
      ? [
          ...heading('Gait'),
          ...sentences(plainLines(gaitWords(gait, gaitChange, level))),
          ...groupTables(findings, level),
          ...changeTable(findings, level),
        ]
      : []),
    ...(liveAgainstClip
      ? [...heading('Live against clip'), ...sentences(plainLines(liveAgainstClipWords(liveAgainstClip, level)))]
      : []),
  ];
}

/** The findings of marks alone for a person at a terminal. */
export function markFindingsText(findings: MarkFindings, level: number, width: number): string {
  const lines = [
    ...gaitText(findings, level).slice(1),
    ...heading('How to read these figures'),
    ...findings.notes.map((note) => sentence(note, '- ', '  ')),
  ];
  return `${laidOut(lines, width).join('\n')}\n`;
}
