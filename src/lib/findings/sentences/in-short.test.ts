import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Findings } from '../findings.ts';
import { inShort } from './in-short.ts';
import { plain } from './sentences-parts.ts';

// Figures computed in R apart from this program; each case's README says what it holds.
const read = (file: string): Findings =>
  JSON.parse(readFileSync(new URL(`../../../../tests/reference/${file}`, import.meta.url), 'utf8')) as Findings;

function answers(findings: Findings, focus: readonly string[]): string[] {
  return inShort(findings, 0.95, focus).map(({ answer }) => plain(answer).replaceAll('\u00a0', ' '));
}

describe('the findings in short', () => {
  it('give the share of every class at both places, how likely, and of how many', () => {
    const findings = read('cases/two-points/expected.json');
    const [shares] = answers(findings, [findings.shift!.early, findings.shift!.late]);
    expect(shares).toMatch(
      /^At Old Pier \(10 km\) 89\.8 % \(828 of 922 runners; likely 87\.7 to 91\.6 %\); at Quarry Hill \(32 km\) 93\.1 % \(296 of 318 runners; likely 89\.7 to 95\.4 %\)\. The others: midfoot [\d.]+ and [\d.]+ %, forefoot [\d.]+ and [\d.]+ % and asymmetric \(left and right differ\) [\d.]+ and [\d.]+ %\.$/,
    );
  });

  it('never set a corrected share beside one as called: that would look like a change', () => {
    const findings = read('cases/two-points/expected.json');
    const { corrected } = read('cases-corrected/double/expected.json');
    const renamed = JSON.parse(JSON.stringify(corrected).replaceAll('Lock Four', 'Old Pier')) as Findings['corrected'];
    const [shares] = answers({ ...findings, corrected: renamed }, [findings.shift!.early, findings.shift!.late]);
    expect(shares).toMatch(
      /^At Old Pier \(10 km\) 89\.8 % \(828 of 922 runners; .*; at Quarry Hill \(32 km\) 93\.1 % .*\)\. The others: .*\. Allowing for misreadings: [\d.]+ % rearfoot at Old Pier \(likely [\d.]+ to [\d.]+ %\)\.$/,
    );
  });

  it('give counts where runners are few, and no share of the other classes', () => {
    const findings = read('cases/two-points/expected.json');
    const few = findings.shares.map((entry) => ({ ...entry, classified: 4 }));
    const [shares] = answers({ ...findings, shares: few }, [findings.shift!.early]);
    expect(shares).toMatch(/of 4 runners\.$/);
    expect(shares).not.toContain('%');
  });

  it('answer all four questions of one checkpoint and no results', () => {
    for (const answer of answers({ ...read('cases/degenerate/expected.json'), notes: [] }, [])) {
      expect(answer).toMatch(/^[A-Z].*\.$/);
      expect(answer).not.toMatch(/null|undefined|NaN/);
    }
  });
});
