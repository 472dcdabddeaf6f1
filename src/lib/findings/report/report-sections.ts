import { findingsPictures, type FindingsPictures } from '../findings-pictures.ts';
import { agreementWords } from '../sections/agreement/words.ts';
import { confusionTable } from '../sections/agreement/pictures.ts';
import { correctionCounts } from '../sections/corrected/counts-words.ts';
import { drawnSentences } from '../sections/corrected/drawn-words.ts';
import { correctedTables } from '../sections/corrected/tables.ts';
import { correctedWords, sharesWithCorrection, shiftWithCorrection } from '../sections/corrected/words.ts';
import { coverageWords } from '../sections/coverage/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { pairwiseTable } from '../sections/finish/pictures.ts';
import { gaitPictures } from '../sections/gait/pictures.ts';
import { gaitChangeTable, gaitTables } from '../sections/gait/tables.ts';
import { gaitWords } from '../sections/gait/words.ts';
import { liveAgainstClipTables } from '../sections/live-against-clip/tables.ts';
import { liveAgainstClipWords } from '../sections/live-against-clip/words.ts';
import { flowSentence, nearFarSentence } from '../sections/observers/words.ts';
import { feetTable } from '../sections/shares/pictures.ts';
import { sharesWords } from '../sections/shares/words.ts';
import { samplesTable, shiftTable } from '../sections/shift/pictures.ts';
import { shiftWords } from '../sections/shift/words.ts';
import type { Sentence } from '../sentences/sentences-parts.ts';
import { place, type SectionWords } from '../sentences/sentences-section.ts';
import type { TableData } from '../series-picture.ts';
import type { ReportSection } from './report-html.ts';
import type { ReportSource } from './report-source.ts';

/** The results of a race, section by section, those that it has. */
export function reportSections(source: ReportSource): ReportSection[] {
  const { findings, supplement, focus, level } = source;
  const pictures = findingsPictures(findings, supplement, focus, level);
  return [
    ...sharesAndShift(source, pictures),
    ...correctedSection(source),
    finishSection(source, pictures),
    agreementSection(source, pictures),
    ...clipSections(source),
    coverageSection(source, pictures),
  ];
}

/** What the corrected figures rest on has a section of its own: it stands there once. */
const withoutAssumed = ({ assumed: _assumed, ...words }: SectionWords): SectionWords => words;

function sharesAndShift({ findings, focus, level }: ReportSource, pictures: FindingsPictures): ReportSection[] {
  const { shift } = findings;
  return [
    {
      title: 'Shares',
      words: withoutAssumed(sharesWithCorrection(sharesWords(findings, level, focus), findings, level, focus)),
      pictures: pictures.shares,
      tables: [feetTable(findings)],
    },
    {
      title: 'Shift',
      words: withoutAssumed(shiftWithCorrection(shiftWords(findings, level), findings, level)),
      pictures: pictures.shift,
      tables: shift ? [shiftTable(shift, level), samplesTable(findings, shift)] : [],
    },
  ];
}

/** Headline and change stand under Shares and Shift: here the counts that they rest on lead. */
function countsFirst(words: SectionWords, counts: readonly Sentence[]): SectionWords {
  const [lead = words.lead, ...remarks] = counts;
  return { ...words, lead, remarks };
}

function correctedSection({ findings, focus, level, chosen }: ReportSource): ReportSection[] {
  if (!findings.corrected) return [];
  const words = countsFirst(correctedWords(findings, level, focus), correctionCounts(findings));
  const drawn = chosen && findings.corrected.validation ? drawnSentences(chosen) : [];
  return [
    {
      title: 'Corrected for what observers misread',
      words: { ...words, assumed: [...(words.assumed ?? []), ...drawn] },
      pictures: [],
      tables: correctedTables(findings, level),
    },
  ];
}

function finishSection({ findings, level }: ReportSource, pictures: FindingsPictures): ReportSection {
  const pairs = findings.finish ? pairwiseTable(findings.finish) : null;
  return {
    title: 'Finish time',
    words: finishWords(findings, level),
    pictures: pictures.finish,
    tables: pairs ? [pairs] : [],
  };
}

function agreementSection({ findings, supplement, level }: ReportSource, pictures: FindingsPictures): ReportSection {
  const { pairs } = findings.agreement;
  const words = agreementWords(findings, level);
  return {
    title: 'Agreement',
    words:
      pairs.length > 0 ? { ...words, remarks: [...words.remarks, nearFarSentence(supplement.nearFar, level)] } : words,
    pictures: pictures.agreement,
    tables: pairs.map(confusionTable),
  };
}

function clipSections({ findings, level }: ReportSource): ReportSection[] {
  const { gait, gaitChange, liveAgainstClip } = findings;
  const change = gaitChangeTable(gaitChange, level);
  return [
    ...(liveAgainstClip
      ? [
          {
            title: 'Live against clip',
            words: liveAgainstClipWords(liveAgainstClip, level),
            pictures: [],
            tables: liveAgainstClipTables(liveAgainstClip, level),
          },
        ]
      : []),
    ...(gait
      ? [
          {
            title: 'Gait on clips',
            words: gaitWords(gait, gaitChange, level),
            pictures: gaitPictures(gait, gaitChange, level),
            tables: [...gaitTables(gait, level), ...there(change)],
          },
        ]
      : []),
  ];
}

const there = (table: TableData | null): TableData[] => (table ? [table] : []);

function coverageSection(
  { findings, supplement, focus, level }: ReportSource,
  pictures: FindingsPictures,
): ReportSection {
  const words = coverageWords(findings, level, focus);
  const flows = supplement.flows.map((flow, i) =>
    flowSentence(
      flow,
      place(findings, flow.checkpoint),
      supplement.flows.length > 1 ? (supplement.flows[1 - i]?.checkpoint ?? null) : null,
    ),
  );
  return {
    title: 'Coverage',
    words: { ...words, remarks: [...flows, ...words.remarks] },
    pictures: pictures.coverage,
    tables: [],
  };
}
