import { dateWords } from '../../words/date-words.ts';
import { counted, levelText } from '../../words/numbers.ts';
import { poolSteps } from '../pool/methods.ts';
import { forestPictures } from '../pool/pictures.ts';
import type { Pooled } from '../pool/pooled.ts';
import { distanceTable, heterogeneityTable, peopleTable, racesTable } from '../pool/tables.ts';
import { CODES_ARE_PERSONAL, pooledWords } from '../pool/words.ts';
import { sentenceHtml, methodsHtml, sectionHtml, tableHtml } from './report-html.ts';
import { escaped } from './escaped.ts';
import { forestSvg } from './forest-svg.ts';
import type { SeasonReportSource } from './report-source.ts';
import { cautions } from './cautions.ts';

/** The report of several races: the answer in short, methods, results with every denominator, cautions. */
export function seasonReport({ pooled, level, version, made }: SeasonReportSource): string {
  return [
    `<header><h1>${counted(pooled.races.length, 'race')} together: foot strike at the kerb</h1>`,
    `<p class="under">Intervals at ${levelText(level)}<br>Written ${escaped(dateWords(made.slice(0, 10)))} by Kerbside ${escaped(version)}, pooling contract 1</p></header>`,
    `<section><h2>In short</h2><p class="lead">${sentenceHtml(pooledWords(pooled, level).lead)}</p></section>`,
    methodsHtml(poolSteps(pooled, level)),
    ...seasonSections(pooled, level),
    cautions(),
  ].join('\n');
}

/** What several races say together, as sections of a report. */
export function seasonSections(pooled: Pooled, level: number): string[] {
  const people = peopleTable(pooled);
  const distance = distanceTable(pooled, level);
  const forests = forestPictures(pooled, level).map(
    (picture) =>
      `<figure>${forestSvg(picture)}<figcaption>${escaped(picture.title)}</figcaption></figure>${tableHtml(picture.table)}${picture.leaveOneOut ? tableHtml(picture.leaveOneOut) : ''}`,
  );
  return [
    sectionHtml({
      title: 'Over several races',
      words: pooledWords(pooled, level),
      pictures: [],
      tables: [racesTable(pooled), heterogeneityTable(pooled, level), ...(distance ? [distance] : [])],
    }),
    ...forests,
    ...(people
      ? [
          `<section><h2>People over races</h2><p class="governs">${CODES_ARE_PERSONAL}</p>${tableHtml(people)}</section>`,
        ]
      : []),
  ];
}
