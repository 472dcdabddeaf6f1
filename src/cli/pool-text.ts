import { count, counted } from '../lib/words/numbers.ts';
import { plainLines } from '../lib/findings/sentences-section.ts';
import type { Pooled } from '../lib/findings/pool/pooled.ts';
import { forestPictures, type ForestPicture } from '../lib/findings/pool/pictures.ts';
import { distanceTable, heterogeneityTable, peopleTable, racesTable } from '../lib/findings/pool/tables.ts';
import { CODES_ARE_PERSONAL, pooledWords } from '../lib/findings/pool/words.ts';
import type { TableData } from '../lib/findings/series-picture.ts';
import { alignedTable } from './aligned-table.ts';
import { forestPlot } from './forest-plot.ts';
import { heading, sentences, setIn, wrapped } from './text-lines.ts';

/** Several races as one, for a person at a terminal: one line a race, a forest plot for each effect, people, notes. */
export function poolText(pooled: Pooled, level: number, width: number): string {
  const words = pooledWords(pooled, level);
  const distance = distanceTable(pooled, level);
  const lines = [
    ...sentences(plainLines(words)),
    ...heading('Races'),
    ...tableLines(racesTable(pooled)),
    ...forestPictures(pooled, level).flatMap((picture) => [...heading(picture.title), ...plotLines(picture, width)]),
    ...heading('How far races differ'),
    ...tableLines(heterogeneityTable(pooled, level)),
    ...(distance ? ['', ...tableLines(distance)] : []),
    ...peopleLines(pooled),
    ...heading('How to read these figures'),
    ...pooled.notes.flatMap((note) => wrapped(note, '- ', '  ')),
  ];
  return `${lines.join('\n')}\n`;
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

/** A table as lines; a terminal has no capitals at the head of columns. */
function tableLines({ columns, rows }: TableData): string[] {
  return setIn(
    alignedTable(
      columns.map((name) => name.replace(/^[A-Z](?=[a-z])/, (first) => first.toLowerCase())),
      rows,
    ),
  );
}

function peopleLines(pooled: Pooled): string[] {
  const { runners } = pooled;
  if (!runners || runners.coded === 0) return [];
  const table = peopleTable(pooled);
  return [
    ...heading('People over races'),
    `${counted(runners.coded, 'runner code')} among the sighted; ${count(runners.linked)} classified in two races or more.`,
    ...wrapped(CODES_ARE_PERSONAL, '', ''),
    '',
    ...(table ? tableLines(table) : []),
  ];
}
