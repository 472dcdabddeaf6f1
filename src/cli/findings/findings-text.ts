import { RUNNER_CLASSES, FOOT_CLASSES } from '../../lib/records/foot.ts';
import type { Findings } from '../../lib/findings/findings.ts';
import type { Shift } from '../../lib/findings/sections/shift/figures.ts';
import { agreementWords } from '../../lib/findings/sections/agreement/words.ts';
import { CAUTIONS_BELOW } from '../../lib/findings/sentences/sentences-cautions.ts';
import { correctedWords } from '../../lib/findings/sections/corrected/words.ts';
import { coverageWords } from '../../lib/findings/sections/coverage/words.ts';
import { finishWords } from '../../lib/findings/sections/finish/words.ts';
import {
  clock,
  count,
  counted,
  decimal,
  decimalRange,
  levelText,
  orNone,
  percent,
  percentRange,
  pNumber,
} from '../../lib/words/numbers.ts';
import { place, plainLines } from '../../lib/findings/sentences/sentences-section.ts';
import { sharesWords } from '../../lib/findings/sections/shares/words.ts';
import { shiftWords } from '../../lib/findings/sections/shift/words.ts';
import { LEAST_GROUP } from '../../lib/findings/which-test.ts';
import { correctedParts } from './corrected-text.ts';
import { gaitText } from './gait-text.ts';
import { heading } from '../output/text-lines.ts';
import { laidOut, sentence, sentences, table, type TextPart } from '../output/text-parts.ts';

function inputsText({ inputs }: Findings): TextPart[] {
  const { excluded } = inputs;
  const read = `Read: ${counted(inputs.sightings, 'sighting')} of ${counted(inputs.runners, 'runner')}; left out: ${count(excluded.noBib)} without a bib, ${count(excluded.repeats)} earlier entries, ${count(excluded.passed)} let pass by the sampling rule, ${count(excluded.sameRecord)} records met again.`;
  if (inputs.results === null) return [sentence(read), 'No results were given.'];
  const results = `Results: ${counted(inputs.results, 'runner')}; of the sighted bibs ${count(inputs.matched)} are in them, ${count(inputs.unmatchedBibs)} are not.`;
  return [sentence(read), sentence(results)];
}

function sharesTables(findings: Findings, level: number): TextPart[] {
  return findings.shares.flatMap((entry) => [
    '',
    `${place(findings, entry.checkpoint)}: ${count(entry.classified)} classified, ${count(entry.unclassified)} unclassified, ${count(entry.disputed)} disputed, ${count(entry.walking)} walking`,
    ...table(
      ['class', 'runners', 'of', 'share', `${levelText(level)} interval`],
      RUNNER_CLASSES.map((name) => {
        const { count: n, share, low, high } = entry.classes[name];
        return [name, count(n), count(entry.classified), percent(share), orNone(percentRange(low, high))];
      }),
    ),
    ...table(
      ['foot', ...FOOT_CLASSES, 'not seen', 'disputed'],
      (['left', 'right'] as const).map((side) => {
        const feet = entry.feet[side];
        return [side, ...FOOT_CLASSES.map((name) => count(feet[name])), count(feet.unseen), count(feet.disputed)];
      }),
    ),
  ]);
}

function shiftTables(shift: Shift): TextPart[] {
  const matrix = (rows: readonly string[], counts: readonly (readonly number[])[], corner: string): TextPart[] =>
    table(
      [corner, ...RUNNER_CLASSES],
      rows.map((name, i) => [name, ...(counts[i] ?? []).map((n) => count(n))]),
    );
  return [
    '',
    `${counted(shift.paired, 'runner')} classified at both: rows ${shift.early}, columns ${shift.late}`,
    ...matrix(RUNNER_CLASSES, shift.transitions, 'early \\ late'),
    '',
    'All classified at either, as two samples',
    ...matrix([shift.early, shift.late], shift.independent.table, 'sample'),
    '',
    `Classified at ${shift.early}, by whether classified at ${shift.late} too`,
    ...matrix(['seen late', 'not seen late'], shift.attrition.table, 'early class'),
  ];
}

function finishTables(findings: Findings, level: number): TextPart[] {
  const { finish } = findings;
  if (!finish) return [];
  const groups = table(
    ['class', 'runners', 'median', 'middle half from', 'to', 'mean'],
    RUNNER_CLASSES.map((name) => {
      const { n, median, q1, q3, mean } = finish.groups[name];
      const times = [median, q1, q3, mean].map((time) => clock(n < LEAST_GROUP ? null : time));
      return [name, count(n), ...times];
    }),
  );
  const pairs = table(
    ['Dunn, Holm-adjusted', 'z', 'p', 'adjusted p'],
    finish.pairwise.map(({ a, b, z, p, adjustedP }) => [
      `${a} against ${b}`,
      decimal(z),
      pNumber(p),
      pNumber(adjustedP),
    ]),
  );
  const quarters = table(
    ['quarter, fastest first', 'rearfoot', 'other', 'share rearfoot'],
    finish.quarters.table.map(([rearfoot = 0, other = 0], i) => [
      `quarter ${i + 1}`,
      count(rearfoot),
      count(other),
      percent(rearfoot + other > 0 ? rearfoot / (rearfoot + other) : null),
    ]),
  );
  const { model } = finish;
  const terms = model
    ? [
        '',
        `Least squares of ln(finish): ${counted(model.n, 'runner')}, R² ${decimal(model.rSquared, 3)}; reference class rearfoot`,
        ...table(
          ['term', 'estimate', 'standard error', 't', 'p', `${levelText(level)} interval`],
          model.terms.map(({ term, estimate, se, t, p, low, high }) => [
            term,
            decimal(estimate, 4),
            decimal(se, 4),
            decimal(t),
            pNumber(p),
            orNone(decimalRange(low, high, 4)),
          ]),
        ),
      ]
    : [];
  return [
    '',
    `Finish times of ${counted(finish.matched, 'runner')} classified at ${place(findings, finish.by)}`,
    ...groups,
    ...(finish.pairwise.length > 0 ? ['', ...pairs] : []),
    '',
    ...quarters,
    ...terms,
  ];
}

function agreementTables({ agreement }: Findings, level: number): TextPart[] {
  if (agreement.pairs.length === 0) return [];
  const rows = agreement.pairs.map(({ a, b, units, agreement: share, kappa, weightedKappa, ac1 }) => [
    `${a} and ${b}`,
    count(units),
    percent(share),
    decimal(kappa.estimate),
    orNone(decimalRange(kappa.clusterLow, kappa.clusterHigh)),
    decimal(weightedKappa.estimate),
    decimal(ac1.estimate),
    orNone(decimalRange(ac1.clusterLow, ac1.clusterHigh)),
  ]);
  const interval = `${levelText(level)} interval`;
  return ['', ...table(['raters', 'feet', 'agreement', 'kappa', interval, 'weighted kappa', 'AC1', interval], rows)];
}

function coverageTables({ coverage }: Findings, level: number): TextPart[] {
  if (!coverage) return [];
  const rows = coverage.checkpoints.map(({ checkpoint, sighted, share, quarterShare, standardisedRearfoot }) => [
    checkpoint,
    count(sighted),
    count(coverage.finishers),
    percent(share),
    ...quarterShare.map((part) => percent(part)),
    percent(standardisedRearfoot?.share ?? null),
    orNone(percentRange(standardisedRearfoot?.scoreLow ?? null, standardisedRearfoot?.scoreHigh ?? null)),
  ]);
  return [
    '',
    ...table(
      [
        'checkpoint',
        'classified',
        'finishers',
        'share',
        ...['quarter 1', 'quarter 2', 'quarter 3', 'quarter 4'],
        'rearfoot, standardised',
        `${levelText(level)} interval`,
      ],
      rows,
    ),
  ];
}

function correctedText(findings: Findings, level: number, focus: readonly string[]): TextPart[] {
  if (!findings.corrected) return [];
  return [
    ...heading("Corrected for observers' errors"),
    ...sentences(plainLines(correctedWords(findings, level, focus))),
    ...correctedParts(findings, level),
  ];
}

/** The findings for a person at a terminal of `width` columns: sentences, tables, tests by their names, cautions at the end. */
export function findingsText(findings: Findings, level: number, width: number): string {
  const { shares, shift } = findings;
  const focus = shift ? [shift.early, shift.late] : shares.map(({ checkpoint }) => checkpoint);
  const lines = [
    ...inputsText(findings),
    ...heading('Shares'),
    ...sentences(plainLines(sharesWords(findings, level, focus))),
    ...sharesTables(findings, level),
    ...heading('Shift'),
    ...sentences(plainLines(shiftWords(findings, level))),
    ...(shift ? shiftTables(shift) : []),
    ...heading('Finish time'),
    ...sentences(plainLines(finishWords(findings, level))),
    ...finishTables(findings, level),
    ...heading('Agreement'),
    ...sentences(plainLines(agreementWords(findings, level))),
    ...agreementTables(findings, level),
    ...heading('Coverage'),
    ...sentences(plainLines(coverageWords(findings, level, focus))),
    ...coverageTables(findings, level),
    ...correctedText(findings, level, focus),
    ...gaitText(findings, level),
    ...heading('How to read these figures'),
    ...findings.notes.map((note) => sentence(note, '- ', '  ')),
    ...heading('Cautions'),
    ...CAUTIONS_BELOW.map((caution) => sentence(caution, '- ', '  ')),
  ];
  return `${laidOut(lines, width).join('\n')}\n`;
}
