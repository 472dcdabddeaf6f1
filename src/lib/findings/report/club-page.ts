import { dateWords } from '../../words/date-words.ts';
import { pooledWords } from '../pool/words.ts';
import { correctedSharesPicture } from '../sections/corrected/pictures.ts';
import { correctedSharesLead, correctedShiftLead, cautionsOfCorrected } from '../sections/corrected/words.ts';
import { sharesPicture } from '../sections/shares/pictures.ts';
import { sharesWords } from '../sections/shares/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { shiftWords } from '../sections/shift/words.ts';
import { escaped } from './escaped.ts';
import { pictureSvg } from './picture-svg.ts';
import { paragraph } from './report-html.ts';
import type { ReportSource } from './report-source.ts';
import { cautions } from './cautions.ts';

/** One printed page for a club evening: three sentences, one large picture, cautions. */
export function clubPage({ findings, race, focus, level, season }: ReportSource): string {
  const shift = shiftWords(findings, level);
  const corrected = correctedShiftLead(findings, level);
  const shared = findings.shares.some((entry) => entry.classified > 0);
  return [
    `<div class="club"><header><h1>${escaped(race.name)}</h1><p class="under">${escaped(dateWords(race.date))}</p></header>`,
    ...(corrected ? cautionsOfCorrected(shift, findings) : (shift.cautions ?? [])).map((caution) =>
      paragraph(caution, 'governs'),
    ),
    paragraph(correctedSharesLead(findings, level, focus) ?? sharesWords(findings, level, focus).lead, 'lead'),
    paragraph(corrected ?? shift.lead, 'lead'),
    ...(findings.finish ? [paragraph(finishWords(findings, level).lead, 'lead')] : []),
    ...(season ? [paragraph(pooledWords(season, level).lead, 'lead')] : []),
    shared
      ? `<figure>${pictureSvg(correctedSharesPicture(findings, level, focus) ?? sharesPicture(findings, level))}</figure>`
      : '',
    cautions(),
    '</div>',
  ].join('\n');
}
