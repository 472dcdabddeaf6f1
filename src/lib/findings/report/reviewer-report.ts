import { dateWords } from '../../words/date-words.ts';
import { counted, levelText } from '../../words/numbers.ts';
import { agreementWords } from '../sections/agreement/words.ts';
import { correctedSharesLead, correctedShiftLead } from '../sections/corrected/words.ts';
import { countedTable } from '../sections/coverage/counted-table.ts';
import { coverageWords } from '../sections/coverage/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { sharesWords } from '../sections/shares/words.ts';
import { shiftWords } from '../sections/shift/words.ts';
import { pooledWords } from '../pool/words.ts';
import { methodSteps } from '../sentences/sentences-methods.ts';
import { CAUTIONS_BELOW } from '../sentences/sentences-cautions.ts';
import { cautions } from './cautions.ts';
import { escaped } from './escaped.ts';
import { reportingItems, type ReportingItem } from './reporting-items.ts';
import { methodsHtml, sectionHtml, sentenceHtml, tableHtml } from './report-html.ts';
import { reportSections } from './report-sections.ts';
import type { ReportSource } from './report-source.ts';
import { seasonSections } from './season-report.ts';
import { poolSteps } from '../pool/methods.ts';

/** The report for a reviewer: what was found in short, methods, results with every denominator, guidelines, cautions. */
export function reviewerReport(source: ReportSource): string {
  const { race, findings, level, version, made } = source;
  return [
    `<header><h1>${escaped(race.name)}: foot strike at the kerb</h1>`,
    `<p class="under">${escaped(dateWords(race.date))} · ${counted(findings.inputs.sightings, 'sighting')} of ${counted(findings.inputs.runners, 'runner')} · intervals at ${levelText(level)}<br>Written ${escaped(dateWords(made.slice(0, 10)))} by Kerbside ${escaped(version)}, analysis contract 1</p></header>`,
    inShort(source),
    methods(source),
    ...reportSections(source).map(sectionHtml),
    ...(source.season ? seasonSections(source.season, level) : []),
    guidelines('STROBE, cross-sectional studies', source, 'STROBE'),
    guidelines('GRRAS, reliability and agreement', source, 'GRRAS'),
    cautions(CAUTIONS_BELOW),
  ].join('\n');
}

function inShort({ findings, supplement, level, focus, season }: ReportSource): string {
  const leads = [
    correctedSharesLead(findings, level, focus) ?? sharesWords(findings, level, focus).lead,
    correctedShiftLead(findings, level) ?? shiftWords(findings, level).lead,
    finishWords(findings, level).lead,
    agreementWords(findings, level).lead,
    coverageWords(findings, level, focus).lead,
    ...(season ? [pooledWords(season, level).lead] : []),
  ];
  return `<section><h2>In short</h2><ul>${leads.map((lead) => `<li>${sentenceHtml(lead)}</li>`).join('')}</ul>${tableHtml(countedTable(findings, supplement.flows))}</section>`;
}

function methods({ findings, supplement, race, level, singleFoot, season }: ReportSource): string {
  return methodsHtml([
    ...methodSteps(findings, supplement, race, level, singleFoot),
    ...(season ? poolSteps(season, level) : []),
  ]);
}

function guidelines(title: string, { race }: ReportSource, guideline: ReportingItem['guideline']): string {
  const rows = reportingItems(race)
    .filter((item) => item.guideline === guideline)
    .map(
      ({ number, topic, met, author }) =>
        `<tr><th scope="row">${number}</th><td class="text">${escaped(topic)}</td><td class="text">${escaped(met)}</td><td class="text${author ? ' blank' : ''}">${escaped(author)}</td></tr>`,
    );
  const head = ['Item', 'Asks for', 'Answered here', 'For the author'];
  return `<section><h2>${escaped(title)}</h2><div class="scroll"><table><thead><tr>${head.map((name) => `<th scope="col" class="text">${name}</th>`).join('')}</tr></thead><tbody>${rows.join('')}</tbody></table></div></section>`;
}
