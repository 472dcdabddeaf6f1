import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Findings } from '../findings.ts';
import { agreementWords } from '../sections/agreement/words.ts';
import { coverageWords } from '../sections/coverage/words.ts';
import { finishWords } from '../sections/finish/words.ts';
import { liveAgainstClipWords } from '../sections/live-against-clip/words.ts';
import { plain } from './sentences-parts.ts';
import { plainLines, type SectionWords } from './sentences-section.ts';
import { sharesWords } from '../sections/shares/words.ts';
import { shiftWords } from '../sections/shift/words.ts';

// Figures of invented and open races computed in R 4.2.2 apart from this program; each case's README says what it holds.
const ROOT = new URL('../../../../tests/reference/cases/', import.meta.url);
const CASES = readdirSync(ROOT, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .flatMap(({ name }) =>
    readdirSync(new URL(`${name}/`, ROOT))
      .filter((file) => /^expected.*\.json$/.test(file))
      .map((file) => `${name}/${file}`),
  );

const read = (file: string): Findings => ({
  ...(JSON.parse(readFileSync(new URL(file, ROOT), 'utf8')) as Findings),
  notes: [],
});
const focusOf = (findings: Findings): string[] =>
  findings.shift ? [findings.shift.early, findings.shift.late] : findings.shares.map((entry) => entry.checkpoint);

function allWords(findings: Findings, level = 0.95): SectionWords[] {
  const focus = focusOf(findings);
  return [
    sharesWords(findings, level, focus),
    shiftWords(findings, level),
    finishWords(findings, level),
    agreementWords(findings, level),
    coverageWords(findings, level, focus),
  ];
}
const spaces = (text: string): string => text.replaceAll('\u00a0', ' ');

describe.each(CASES)('sentences on %s', (file) => {
  const findings = read(file);

  it('reads well whatever is null', () => {
    expect(CASES.length).toBeGreaterThanOrEqual(16);
    for (const line of allWords(findings).flatMap(plainLines)) {
      expect(line).not.toMatch(/null|undefined|NaN|Infinity|–(?! )(?=\s*(?:%|runners))|\(\)|\s,|\.\.|\s{2}/);
      expect(line).toMatch(/\.$/);
      expect(line).toMatch(/^[A-Z0-9]/);
    }
  });

  it('gives no verdict where p is above 0.05', () => {
    const { shift, finish } = findings;
    const words = allWords(findings);
    const few = shift ? shift.rearfoot.gained + shift.rearfoot.lost < 25 : false;
    const p = few ? shift?.rearfoot.mcnemar.exactP : shift?.rearfoot.mcnemar.p;
    if (p != null) {
      expect(plain(words[1]!.lead).includes('the data do not settle')).toBe(p > 0.05);
      expect(plain(words[1]!.tests[0]!.answer).includes('the data do not settle it')).toBe(p > 0.05);
    }
    const overall = finish?.kruskalWallis.p;
    const lead = plain(words[2]!.lead);
    if (overall != null && !lead.includes('too few')) {
      expect(lead.includes('the data do not settle')).toBe(overall > 0.05);
    }
  });

  it('says in every sentence on the shift when the difference may be the observers’', () => {
    const { shift } = findings;
    if (!shift) return;
    const words = shiftWords(findings, 0.95);
    const sentences = [words.lead, ...words.tests.map((test) => test.answer)].map(plain);
    const doubt = shift.commonObservers === 0 || shift.sameObserver.pairs < shift.paired / 2;
    for (const sentence of sentences) expect(/may be the observers’/.test(sentence)).toBe(doubt);
    // Said in full once, at the head.
    const heads = (words.cautions ?? []).map(plain).filter((text) => text.includes('may be the observers’'));
    expect(heads).toHaveLength(doubt ? 1 : 0);
  });
});

describe('what the sentences state', () => {
  it('gives share, interval and denominator at the early and the late checkpoint', () => {
    const findings = read('two-points/expected.json');
    expect(spaces(plain(sharesWords(findings, 0.95, focusOf(findings)).lead))).toBe(
      'At Old Pier (10 km), 89.8 % of the 922 runners classified landed on the rearfoot (95 % interval 87.7 to 91.6 %); at Quarry Hill (32 km), 93.1 % of 318 (89.7 to 95.4 %).',
    );
  });

  it('names the level asked for', () => {
    const findings = read('two-points/expected-90.json');
    expect(spaces(plain(sharesWords(findings, 0.9, focusOf(findings)).lead))).toContain(
      '(90 % interval 88.0 to 91.3 %)',
    );
  });

  it('puts the exact test first when few changed', () => {
    const paired = plain(shiftWords(read('two-points/expected.json'), 0.95).tests[0]!.answer);
    expect(paired).toMatch(/11 to 1 .*\(exact test of the 12 runners who changed, p = 0\.006; mid-p 0\.003; McNemar/);
  });

  it('puts McNemar’s chi-square first when many changed', () => {
    const paired = plain(shiftWords(read('four-points/expected.json'), 0.95).tests[0]!.answer);
    expect(paired).toMatch(
      /62 to 61 .*\(McNemar χ² = 0\.01, 1 df, p = 0\.93; exact 1\.00; mid-p 0\.93\): the data do not settle it/,
    );
  });

  it('warns of the overlap beside the separate samples, and reads the exact test first when counts are small', () => {
    const line = plain(shiftWords(read('two-points/expected.json'), 0.95).tests[2]!.answer);
    expect(spaces(line)).toContain('exact p = 0.43, to be read first because a count of only 3.6 was expected');
    expect(spaces(line)).toContain('30.7 % of these runners stand in both samples');
  });

  it('turns the model into percent of time with its interval', () => {
    // ln-scale figures of R: −0.0772 (−0.1158 to −0.0386); as percent −7.4 (−10.9 to −3.8).
    const line = plainLines(finishWords(read('four-points/expected.json'), 0.95)).at(-1);
    expect(spaces(line!)).toContain('midfoot −7.4 % (−10.9 to −3.8 %)');
  });

  it('says what is missing', () => {
    expect(plain(shiftWords(read('one-point/expected.json'), 0.95).lead)).toContain('needs two checkpoints');
    expect(plain(finishWords(read('degenerate/expected.json'), 0.95).lead)).toContain('need the results');
    expect(plain(agreementWords(read('degenerate/expected.json'), 0.95).lead)).toContain('No two observers');
  });

  it('explains why kappa and agreement part where one class prevails', () => {
    const lines = plainLines(agreementWords(read('tenmile/expected.json'), 0.95));
    expect(spaces(lines[0]!)).toContain('93.5 % of the 462 feet both classed (kappa 0.70, 95 % interval 0.58 to 0.81)');
    expect(lines[1]).toContain('counts only what is won beyond that');
  });
});

// What is said of a few runners, and through whose eyes: invented findings, no outside oracle needed for words.
describe('least counts and same eyes', () => {
  const base = read('two-points/expected.json');
  const within = (pairs: number, commonObservers: number): Findings => ({
    ...base,
    shift: { ...base.shift!, commonObservers, sameObserver: { ...base.shift!.rearfoot, pairs } },
  });

  it('keeps the observers’ caution until half of the pairs are seen by one observer', () => {
    // One stray sighting makes a common observer, and settles nothing.
    for (const [pairs, doubt] of [
      [0, true],
      [1, true],
      [145, true],
      [146, false],
    ] as const) {
      const words = shiftWords(within(pairs, 1), 0.95);
      expect(plain(words.lead).includes('may be the observers’')).toBe(doubt);
      expect((words.cautions ?? []).length).toBe(doubt ? 1 : 0);
    }
    const [caution] = (shiftWords(within(40, 1), 0.95).cautions ?? []).map(plain);
    expect(spaces(caution!)).toMatch(
      /^40 of 291 pairs were seen by the same observer .* Among these the share changed/,
    );
  });

  it('says so when early and late are no stretch of the course', () => {
    const at = (early: number, late: number): string =>
      (
        shiftWords({ ...base, shares: base.shares.map((entry, i) => ({ ...entry, km: i === 0 ? early : late })) }, 0.95)
          .cautions ?? []
      )
        .map(plain)
        .join(' ');
    expect(at(10, 10)).toContain('lie at the same distance');
    expect(at(32, 10)).toContain('against the running direction');
    expect(at(10, 32)).not.toMatch(/same distance|against the running/);
  });

  it('gives no time of a class of fewer than five, and no contrast of it', () => {
    const finish = base.finish!;
    const groups = { ...finish.groups, asymmetric: { ...finish.groups.asymmetric, n: 4 } };
    const words = plainLines(finishWords({ ...base, finish: { ...finish, groups } }, 0.95));
    expect(words.join(' ')).not.toMatch(/asymmetric/);
    const five = plainLines(finishWords({ ...base, finish: { ...finish, matched: 5 } }, 0.95));
    expect(five).toHaveLength(1);
    expect(five[0]).toMatch(/^Of 5 finishers .* that takes 10 finishers and 5 in a class\.$/);
  });

  it('says which way the naked eye errs', () => {
    // By class on the clip, then by class called live.
    const table = [
      [400, 27, 0],
      [3, 20, 0],
      [0, 1, 9],
    ];
    const figures = read('../cases-gait/kerb/expected.json').liveAgainstClip!;
    const words = liveAgainstClipWords({ ...figures, all: { ...figures.all, units: 460, table } }, 0.95);
    const said = words.tests.find(({ question }) => question.includes('naked eye'))!;
    expect(plain(said.answer)).toBe(
      'By clip, of 48 live midfoot calls, 27 were rearfoot and 1 was forefoot; of 403 live rearfoot calls, 3 were midfoot (460 comparisons).',
    );
  });
});
