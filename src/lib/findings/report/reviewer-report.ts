import type { Race } from '../../race/race.ts';
import type { SingleFootRule } from '../../sightings/runner-classes.ts';
import { counted, dateWords, levelText } from '../../words/numbers.ts';
import type { Findings } from '../findings.ts';
import { findingsPictures } from '../findings-pictures.ts';
import { agreementWords } from '../sections/agreement/words.ts';
import { confusionTable } from '../sections/agreement/pictures.ts';
import { liveClipTable } from '../sections/agreement/live-clip.ts';
import { coverageWords } from '../sections/coverage/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { pairwiseTable } from '../sections/finish/pictures.ts';
import { flowSentence, nearFarSentence } from '../sections/observers/words.ts';
import { feetTable } from '../sections/shares/pictures.ts';
import { sharesWords } from '../sections/shares/words.ts';
import { samplesTable, shiftTable } from '../sections/shift/pictures.ts';
import { shiftWords } from '../sections/shift/words.ts';
import { FINDINGS_CAUTIONS } from '../sentences-cautions.ts';
import { methodSteps } from '../sentences-methods.ts';
import { place } from '../sentences-section.ts';
import type { Supplement } from '../supplement.ts';
import { escaped } from './escaped.ts';
import { reportingItems, type ReportingItem } from './reporting-items.ts';
import { sectionHtml, sentenceHtml, type ReportSection } from './report-html.ts';

/** What a report is written from. */
export interface ReportSource {
  readonly findings: Findings;
  readonly supplement: Supplement;
  readonly race: Race;
  /** The early and the late checkpoint, or the single one. */
  readonly focus: readonly string[];
  readonly level: number;
  readonly singleFoot: SingleFootRule;
  readonly version: string;
  /** When it is written, RFC 3339. */
  readonly made: string;
}

/** The report for a reviewer: what was found in short, methods, results with every denominator, guidelines, cautions. */
export function reviewerReport(source: ReportSource): string {
  const { race, findings, level, version, made } = source;
  return [
    `<header><h1>${escaped(race.name)}: foot strike at the kerb</h1>`,
    `<p class="under">${escaped(dateWords(race.date))} · ${counted(findings.inputs.sightings, 'sighting')} of ${counted(findings.inputs.runners, 'runner')} · intervals at ${levelText(level)}<br>Written ${escaped(dateWords(made.slice(0, 10)))} by Kerbside ${escaped(version)}, analysis contract 1</p></header>`,
    inShort(source),
    methods(source),
    ...sections(source).map(sectionHtml),
    guidelines('STROBE, cross-sectional studies', source, 'STROBE'),
    guidelines('GRRAS, reliability and agreement', source, 'GRRAS'),
    cautions(),
  ].join('\n');
}

function inShort({ findings, level, focus }: ReportSource): string {
  const leads = [
    sharesWords(findings, level, focus).lead,
    shiftWords(findings, level).lead,
    finishWords(findings, level).lead,
    agreementWords(findings, level).lead,
    coverageWords(findings, level, focus).lead,
  ];
  return `<section><h2>In short</h2><ul>${leads.map((lead) => `<li>${sentenceHtml(lead)}</li>`).join('')}</ul></section>`;
}

function methods({ findings, supplement, race, level, singleFoot }: ReportSource): string {
  const steps = methodSteps(findings, supplement, race, level, singleFoot).map(
    ({ topic, words, sources }) =>
      `<dt>${escaped(topic)}</dt><dd>${escaped(words)}${sources.length > 0 ? ` <span class="sources">${escaped(sources.join('; '))}.</span>` : ''}</dd>`,
  );
  return `<section><h2>Methods</h2><dl>${steps.join('')}</dl></section>`;
}

function sections({ findings, supplement, focus, level }: ReportSource): ReportSection[] {
  const pictures = findingsPictures(findings, supplement, focus, level);
  const { shift, finish, agreement } = findings;
  const shared = agreement.pairs.length > 0;
  const agreed = agreementWords(findings, level);
  const covered = coverageWords(findings, level, focus);
  const flows = supplement.flows.map((flow, i) =>
    flowSentence(
      flow,
      place(findings, flow.checkpoint),
      supplement.flows.length > 1 ? (supplement.flows[1 - i]?.checkpoint ?? null) : null,
    ),
  );
  const live = liveClipTable(agreement.pairs);
  const pairs = finish ? pairwiseTable(finish) : null;
  return [
    {
      title: 'Shares',
      words: sharesWords(findings, level, focus),
      pictures: pictures.shares,
      tables: [feetTable(findings)],
    },
    {
      title: 'Shift',
      words: shiftWords(findings, level),
      pictures: pictures.shift,
      tables: shift ? [shiftTable(shift, level), samplesTable(findings, shift)] : [],
    },
    {
      title: 'Finish time',
      words: finishWords(findings, level),
      pictures: pictures.finish,
      tables: pairs ? [pairs] : [],
    },
    {
      title: 'Agreement',
      words: shared ? { ...agreed, remarks: [...agreed.remarks, nearFarSentence(supplement.nearFar, level)] } : agreed,
      pictures: pictures.agreement,
      tables: [...(live ? [live] : []), ...agreement.pairs.map(confusionTable)],
    },
    {
      title: 'Coverage',
      words: { ...covered, remarks: [...flows, ...covered.remarks] },
      pictures: pictures.coverage,
      tables: [],
    },
  ];
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

export function cautions(): string {
  return `<footer><ul>${FINDINGS_CAUTIONS.map((caution) => `<li>${escaped(caution)}</li>`).join('')}</ul></footer>`;
}
