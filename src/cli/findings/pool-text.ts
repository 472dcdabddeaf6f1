import { count, counted } from '../../lib/words/numbers.ts';
import { plainLines } from '../../lib/findings/sentences/sentences-section.ts';
import type { Pooled } from '../../lib/findings/pool/pooled.ts';
import { forestPictures, type ForestPicture } from '../../lib/findings/pool/pictures.ts';
import { distanceTable, heterogeneityTable, peopleTable, racesTable } from '../../lib/findings/pool/tables.ts';
import { notesInWords } from '../../lib/findings/pool/notes-in-words.ts';
import { CODES_ARE_PERSONAL, pooledWords } from '../../lib/findings/pool/words.ts';
import type { TableData } from '../../lib/findings/series-picture.ts';
import { forestPlot } from './forest-plot.ts';
import { setIn, wrapped } from '../output/text-lines.ts';
import { laidOut, sentence, sentences, table, type TextPart } from '../output/text-parts.ts';

/**
 * Several races as one, for a person at a terminal: one line a race, a forest plot for each effect, people, notes.
 *
 * @param width columns of the terminal; of 40 and more no line is longer
 */
export function poolText(pooled: Pooled, level: number, width: number): string {
  const words = pooledWords(pooled, level);
  const distance = distanceTable(pooled, level);
  const titled = (title: string): string[] => {
    const lines = wrapped(title, '', '', width);
    return ['', ...lines, '='.repeat(Math.max(...lines.map((line) => line.length))), ''];
  };
  const parts: TextPart[] = [
    ...sentences(plainLines(words)),
    ...titled('Races'),
    ...asText(racesTable(pooled)),
    ...forestPictures(pooled, level).flatMap((picture) => [...titled(picture.title), ...plotLines(picture, width)]),
    ...titled('How far races differ'),
    ...asText(heterogeneityTable(pooled, level)),
    ...(distance ? ['', ...asText(distance)] : []),
    ...(pooled.runners?.coded ? [...titled('People over races'), ...people(pooled)] : []),
    ...titled('How to read these figures'),
    ...notesInWords(pooled).map((note) => sentence(note, '- ', '  ')),
  ];
  return `${laidOut(parts, width).join('\n')}\n`;
}

function plotLines({ rows, reference, axis, from, to, scale }: ForestPicture, width: number): string[] {
  const plot = forestPlot(
    rows.map(({ name, estimate, low, high, words, kind }) => ({
      ...{ name, words, kind },
      estimate: scale(estimate),
      low: scale(low),
      high: scale(high),
    })),
    width - 2,
    reference === null ? null : scale(reference),
    { from: scale(from), to: scale(to) },
  );
  return setIn([...plot, `(${axis})`]);
}

/** A table on a terminal has no capitals at the head of its columns. */
const asText = ({ columns, rows }: TableData): TextPart[] =>
  table(
    columns.map((name) => name.replace(/^[A-Z](?=[a-z])/, (first) => first.toLowerCase())),
    rows,
  );

function people(pooled: Pooled): TextPart[] {
  const { coded, linked } = pooled.runners!;
  const seen = peopleTable(pooled);
  return [
    sentence(`${counted(coded, 'runner code')} among the sighted; ${count(linked)} classified in two races or more.`),
    sentence(CODES_ARE_PERSONAL),
    '',
    ...(seen ? asText(seen) : []),
  ];
}
