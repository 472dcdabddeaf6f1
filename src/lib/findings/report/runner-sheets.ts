import { FOOT_OUTCOMES, OUTCOMES } from '../../sightings/runner-classes.ts';
import { dateWords } from '../../words/date-words.ts';
import { clock, count, counted, distance } from '../../words/numbers.ts';
import type { Field } from '../field.ts';
import type { ResolvedRace } from '../resolved-race.ts';
import { rearfootOf } from '../sections/shares/words.ts';
import type { RunnerFigures } from '../sections/gait/runner-figures.ts';
import { RUNNER_FIGURES_CAUTION, runnerFiguresWords } from '../sections/gait/sheet-words.ts';
import { escaped } from './escaped.ts';
import { paragraph, tableHtml } from './report-html.ts';
import type { ReportSource } from './report-source.ts';

/** What a sheet says below its figures, to whoever holds it. */
const WHAT_IT_MEANS = [
  'A class is what was seen of one step at one place. The next step may be another, and observers err.',
  'It says nothing about injury or running economy, and no class is better than another.',
  'There is nothing to do with it: nobody should change how they run without a qualified professional.',
];

/**
 * One page for each of these runners: class left and right at each place, what clips measured, finish, and where the field
 * stood.
 *
 * @param measured what clips measured, by bib
 */
export function runnerSheets(
  source: ReportSource,
  race: ResolvedRace,
  field: Field | null,
  bibs: readonly string[],
  measured: Readonly<Record<string, readonly RunnerFigures[]>> = {},
): string {
  return bibs.map((bib) => sheet(source, race, field, bib, measured[bib] ?? [])).join('\n');
}

function sheet(
  { race, findings }: ReportSource,
  resolved: ResolvedRace,
  field: Field | null,
  bib: string,
  measured: readonly RunnerFigures[],
): string {
  const { table, classes } = resolved;
  const at = table.bibs.indexOf(bib);
  const rows = table.checkpoints.map(({ name, km }, checkpoint) => {
    const entry = at < 0 ? -1 : entryOf(resolved, at, checkpoint);
    const share = findings.shares.find((one) => one.checkpoint === name);
    const stood = share ? `${rearfootOf(share)} of ${counted(share.classified, 'runner')}` : '–';
    if (entry < 0) return [`${name}, ${distance(km)}`, 'not sighted', '', '', stood];
    const foot = (side: Uint8Array): string => (classes.running[entry] ? FOOT_OUTCOMES[side[entry]!]! : '–');
    return [
      `${name}, ${distance(km)}`,
      OUTCOMES[classes.outcome[entry]!]!,
      foot(classes.left),
      foot(classes.right),
      stood,
    ];
  });
  const columns = ['Place', 'Class', 'Left foot', 'Right foot', 'Field on the rearfoot'];
  return [
    `<article class="sheet"><header><h1>Runner ${escaped(bib)}</h1><p class="under">${escaped(race.name)}, ${escaped(dateWords(race.date))}</p></header>`,
    tableHtml({ caption: 'What was seen', columns, rows }),
    ...measured.flatMap(runnerFiguresWords).map((sentence) => paragraph(sentence)),
    `<p>${escaped(finishSentence(field, at, bib))}</p>`,
    `<ul>${[...(measured.length > 0 ? [RUNNER_FIGURES_CAUTION] : []), ...WHAT_IT_MEANS].map((sentence) => `<li>${sentence}</li>`).join('')}</ul></article>`,
  ].join('\n');
}

function entryOf({ classes }: ResolvedRace, bib: number, checkpoint: number): number {
  for (let i = classes.first[bib]!; i < classes.first[bib + 1]!; i += 1) {
    if (classes.checkpoint[i] === checkpoint) return i;
  }
  return -1;
}

function finishSentence(field: Field | null, at: number, bib: string): string {
  if (!field) return 'No results were read: no finish is known.';
  const row = at < 0 ? field.rows.find((one) => one.bib === bib) : field.rows[field.rowOfBib[at]!];
  if (row?.finish === undefined) return 'The results have no finish for this bib.';
  const { finish } = row;
  const times = field.rows.flatMap((one) => (one.finish === undefined ? [] : [one.finish]));
  const before = times.filter((time) => time < finish).length;
  return `Finish ${clock(finish)}: ${count(before)} of ${counted(times.length, 'finisher')} ${before === 1 ? 'was' : 'were'} faster.`;
}
