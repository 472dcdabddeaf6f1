import { analyseMarks } from '../../lib/findings/analyse-marks.ts';
import { analyse } from '../../lib/findings/analyse.ts';
import type { AskedFindings } from './analyse.ts';
import { findingsText } from './findings-text.ts';
import { markFindingsText } from './gait-text.ts';
import type { RaceTables } from './read-race-tables.ts';

/** The findings of a race as `analyse` prints them; nothing of neither sightings nor marks. */
export function shownFindings(
  { sightings, results, marks, practice }: RaceTables,
  asked: AskedFindings,
  width: number,
): string {
  const { level, json } = asked;
  if (sightings) {
    const rules = { ...asked, practice: practice ?? undefined, marks: marks?.table };
    const findings = analyse(sightings.table, results, rules);
    return json ? asJson(findings) : findingsText(findings, level, width);
  }
  if (!marks) return '';
  const findings = analyseMarks(marks.table, { ...asked, practice: undefined, marks: null });
  return json ? asJson(findings) : markFindingsText(findings, level, width);
}

const asJson = (findings: object): string => `${JSON.stringify(findings, null, 2)}\n`;
