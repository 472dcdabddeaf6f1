import type { SectionWords } from '../sentences/sentences-section.ts';
import { capital } from '../../words/numbers.ts';
import { partText, type Sentence } from '../sentences/sentences-parts.ts';
import type { MethodStep } from '../sentences/sentences-methods.ts';
import type { Picture, TableData } from '../series-picture.ts';
import { escaped } from './escaped.ts';
import { pictureSvg } from './picture-svg.ts';

/** A sentence with its weights. */
export function sentenceHtml(sentence: Sentence): string {
  return sentence
    .map((part) => {
      const text = escaped(partText(part));
      return typeof part !== 'string' && 'strong' in part ? `<strong>${text}</strong>` : text;
    })
    .join('');
}

export const paragraph = (sentence: Sentence, kind = ''): string =>
  `<p${kind ? ` class="${kind}"` : ''}>${sentenceHtml(sentence)}</p>`;

/** A table of no more rows than this stays on one page. */
const LONGEST_WHOLE = 14;

export function tableHtml({ caption, columns, rows }: TableData): string {
  const head = columns.map((name) => `<th scope="col">${escaped(name)}</th>`).join('');
  const body = rows.map(
    ([name = '', ...cells]) =>
      `<tr><th scope="row">${escaped(name)}</th>${cells.map((cell) => `<td>${escaped(cell)}</td>`).join('')}</tr>`,
  );
  const kind = rows.length <= LONGEST_WHOLE ? 'scroll whole' : 'scroll';
  return `<div class="${kind}"><table><caption>${escaped(caption)}</caption><thead><tr>${head}</tr></thead><tbody>${body.join('')}</tbody></table></div>`;
}

/** A picture with the table of its figures. */
export function pictureHtml(picture: Picture): string {
  return `<figure>${pictureSvg(picture)}<figcaption>${escaped(picture.title)}</figcaption></figure>${tableHtml(picture.table)}`;
}

export interface ReportSection {
  readonly title: string;
  readonly words: SectionWords;
  readonly pictures: readonly Picture[];
  readonly tables: readonly TableData[];
}

export function sectionHtml({ title, words, pictures, tables }: ReportSection): string {
  const tests = words.tests.map(
    ({ question, answer }) => `<dt>${escaped(question)}</dt><dd>${capitalised(answer)}</dd>`,
  );
  return [
    `<section><h2>${escaped(title)}</h2>`,
    ...(words.cause ? [paragraph(words.cause, 'cause')] : []),
    ...(words.cautions ?? []).map((caution) => paragraph(caution, 'governs')),
    paragraph(words.lead, 'lead'),
    ...(tests.length > 0 ? [`<dl>${tests.join('')}</dl>`] : []),
    ...words.remarks.map((remark) => paragraph(remark, 'remark')),
    ...assumedHtml(words.assumed ?? []),
    ...pictures.map(pictureHtml),
    ...tables.map(tableHtml),
    '</section>',
  ].join('\n');
}

export function methodsHtml(steps: readonly MethodStep[]): string {
  const items = steps.map(
    ({ topic, words, sources }) =>
      `<dt>${escaped(topic)}</dt><dd>${escaped(words)}${sources.length > 0 ? ` <span class="sources">${escaped(sources.join('; '))}.</span>` : ''}</dd>`,
  );
  return `<section><h2>Methods</h2><dl>${items.join('')}</dl></section>`;
}

function assumedHtml(assumed: readonly Sentence[]): string[] {
  if (assumed.length === 0) return [];
  const items = assumed.map((sentence) => `<li>${sentenceHtml(sentence)}</li>`);
  return [`<h3>What the correction assumes</h3><ul>${items.join('')}</ul>`];
}

function capitalised(sentence: Sentence): string {
  const [first] = sentence;
  if (typeof first !== 'string') return sentenceHtml(sentence);
  return sentenceHtml([capital(first), ...sentence.slice(1)]);
}

/** A whole page that needs nothing else: no script, no picture file, no network. */
export function pageHtml(title: string, body: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escaped(title)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
${body}
</main>
</body>
</html>
`;
}

const STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #16191d; font: 15px/1.5 system-ui, -apple-system, "Segoe UI", sans-serif; }
main { max-width: 46rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .3rem; }
h2 { font-size: 1.15rem; margin: 2rem 0 .6rem; border-top: 1px solid #c9ccd1; padding-top: .8rem; }
h3 { font-size: 1rem; margin: 1.2rem 0 .3rem; }
.under, .remark, .sources { color: #454c55; }
.lead { font-size: 1.15rem; line-height: 1.45; }
.cause { font-size: .92rem; color: #4a5058; }
.governs { border-inline-start: 4px solid #7a4300; padding-inline-start: .7rem; font-weight: 600; }
dt { font-weight: 700; }
dd { margin: 0 0 .7rem; }
figure { margin: 1rem 0 .4rem; break-inside: avoid; }
figcaption { font-weight: 600; }
svg { width: 100%; height: auto; display: block; }
.scroll { overflow-x: auto; margin: .6rem 0 1rem; }
table { border-collapse: collapse; width: 100%; font-size: .86rem; font-variant-numeric: tabular-nums; }
caption { text-align: start; color: #454c55; padding-bottom: .2rem; }
th, td { text-align: end; padding: .22rem .4rem; border-bottom: 1px solid #d5d8dc; vertical-align: top; }
th:first-child, td.text, th.text { text-align: start; }
.blank { min-width: 11rem; border-bottom: 1px solid #16191d; }
.sheet { break-before: page; }
.club h1 { font-size: 2.4rem; }
.club .lead { font-size: 1.6rem; line-height: 1.35; }
footer { margin-top: 2rem; border-top: 1px solid #c9ccd1; padding-top: .6rem; color: #454c55; font-size: .86rem; }
@page { size: A4; margin: 18mm 16mm 20mm; @bottom-right { content: counter(page) " / " counter(pages); font: 9pt sans-serif; } }
@media print {
  body { font-size: 10pt; line-height: 1.38; }
  main { max-width: none; padding: 0; }
  .sheet { font-size: 14pt; }
  .sheet table { font-size: 12.5pt; }
  .sheet h1 { font-size: 30pt; }
  .sheet li { margin-bottom: .4rem; }
  .club h1 { font-size: 22pt; }
  .club .lead { font-size: 13.5pt; margin: .5rem 0; }
  .club .governs { margin: .4rem 0; }
  .club figure { margin: .5rem 0 .2rem; }
  .club figure svg { width: 100%; max-height: 66mm; }
  .club figure + figure svg { max-height: 40mm; }
  .club.smaller h1 { font-size: 18pt; }
  .club.smaller .lead { font-size: 11.5pt; }
  .club.smaller figure svg { max-height: 60mm; }
  .club.smallest { font-size: 9pt; }
  .club.smallest h1 { font-size: 14pt; }
  .club.smallest .lead { font-size: 10pt; }
  .club.smallest figure svg { max-height: 54mm; }
  .club.smallest figure + figure svg { max-height: 30mm; }
  .club footer { margin-top: .6rem; }
  figure svg { width: 88%; }
  h2, h3, dt, caption { break-after: avoid; }
  h2 { margin-top: 1.2rem; }
  .lead, .whole, footer { break-inside: avoid; }
  footer { margin-top: .8rem; }
  thead tr, tbody tr:first-child { break-after: avoid; }
  tbody tr:last-child { break-before: avoid; }
  .scroll { overflow: visible; margin: .4rem 0 .7rem; }
  tr, dd { break-inside: avoid; }
  thead { display: table-header-group; }
}
`;
