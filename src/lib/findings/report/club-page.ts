import { dateWords } from '../../words/date-words.ts';
import { pooledWords } from '../pool/words.ts';
import { correctedSharesPicture } from '../sections/corrected/pictures.ts';
import { correctedSharesLead, correctedShiftLead, cautionsOfCorrected } from '../sections/corrected/words.ts';
import { sharesPicture } from '../sections/shares/pictures.ts';
import { sharesWords } from '../sections/shares/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { shiftWords } from '../sections/shift/words.ts';
import { plain } from '../sentences/sentences-parts.ts';
import type { Picture } from '../series-picture.ts';
import { escaped } from './escaped.ts';
import { pictureSvg } from './picture-svg.ts';
import { paragraph } from './report-html.ts';
import type { ReportSource } from './report-source.ts';
import { cautions } from './cautions.ts';

/** Letters of the page from which it is set smaller, and smaller still: it stays one page whatever names it has. */
const MANY_LETTERS = 1000;
const VERY_MANY_LETTERS = 1500;

/** One printed page for a club evening: three sentences, one large picture, cautions. */
export function clubPage({ findings, race, focus, level, season }: ReportSource): string {
  const shift = shiftWords(findings, level);
  const corrected = correctedShiftLead(findings, level);
  const shared = findings.shares.some((entry) => entry.classified > 0);
  const correctedPicture = correctedSharesPicture(findings, level, focus);
  const governs = corrected ? cautionsOfCorrected(shift, findings) : (shift.cautions ?? []);
  const leads = [
    correctedSharesLead(findings, level, focus) ?? sharesWords(findings, level, focus).lead,
    corrected ?? shift.lead,
    ...(findings.finish ? [finishWords(findings, level).lead] : []),
    ...(season ? [pooledWords(season, level).lead] : []),
  ];
  return [
    `<div class="club${sizeOf([race.name, ...[...governs, ...leads].map(plain)])}"><header><h1>${escaped(race.name)}</h1><p class="under">${escaped(dateWords(race.date))}</p></header>`,
    ...governs.map((caution) => paragraph(caution, 'governs')),
    ...leads.map((lead) => paragraph(lead, 'lead')),
    ...(shared ? [figure(sharesPicture(findings, level))] : []),
    ...(shared && correctedPicture ? [figure(correctedPicture)] : []),
    cautions(),
    '</div>',
  ].join('\n');
}

function sizeOf(texts: readonly string[]): string {
  const letters = texts.reduce((sum, text) => sum + text.length, 0);
  if (letters > VERY_MANY_LETTERS) return ' smallest';
  return letters > MANY_LETTERS ? ' smaller' : '';
}

const figure = (picture: Picture): string =>
  `<figure>${pictureSvg(picture)}<figcaption>${escaped(picture.title)}</figcaption></figure>`;
