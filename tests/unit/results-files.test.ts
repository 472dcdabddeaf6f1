import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { matchBibs } from '../../src/lib/tables/organiser/bib-forms.ts';
import { readOrganiserFile, type OrganiserOptions } from '../../src/lib/tables/organiser/organiser-file.ts';
import { raceLength } from '../../src/lib/tables/organiser/pace-limits.ts';
import { tableFaultWords } from '../../src/lib/tables/csv/table-fault.ts';
import { isZip, workbookText } from '../../src/lib/tables/organiser/workbook.ts';

/**
 * Seventy-seven results files as organisers in many countries write them, and what must come out of each: worked out by hand from
 * the file, as a person would read it. Names are invented.
 */
interface Expected {
  readonly known: { km?: number; date?: string; start?: string };
  readonly options: OrganiserOptions;
  /** bib, finish in seconds, sex, age. */
  readonly rows?: [string, number | null, string | null, number | null][];
  readonly said?: string[];
  readonly faults?: string[];
  /** The readings that must be proposed; nothing is taken. */
  readonly question?: string[];
  /** Part of the fault with which the file is refused. */
  readonly refused?: string;
  readonly bibs?: { sighted: string[]; form: string; matched: number };
}

const FOLDER = new URL('../reference/results-files/', import.meta.url);
const EXPECTED = JSON.parse(readFileSync(new URL('expected.json', FOLDER), 'utf8')) as Record<string, Expected>;

async function read(name: string, { known, options }: Expected) {
  const bytes = new Uint8Array(readFileSync(new URL(name, FOLDER)));
  const [hours = 0, minutes = 0] = (known.start ?? '').split(':').map(Number);
  const all: OrganiserOptions = {
    ...options,
    known: {
      length: raceLength(known.km, undefined),
      raceDate: known.date ?? null,
      startOfDay: known.start ? hours * 3600 + minutes * 60 : null,
    },
  };
  if (!isZip(bytes)) return readOrganiserFile(bytes, 'results', all);
  const workbook = await workbookText(bytes);
  if (!workbook.ok) throw new Error(workbook.error.type);
  return readOrganiserFile(new TextEncoder().encode(workbook.value.text), 'results', { ...all, delimiter: ',' });
}

describe('results files of organisers', () => {
  it('are seventy-seven', () => {
    expect(Object.keys(EXPECTED)).toHaveLength(77);
  });

  it.each(Object.entries(EXPECTED))('%s', async (name, expected) => {
    const table = await read(name, expected);
    const faults = table.faults.map(tableFaultWords);
    if (expected.question) {
      expect(table.question?.proposals.map(({ form }) => form)).toEqual(expected.question);
      expect([table.refused, table.rows]).toEqual([true, []]);
      expect(faults).toHaveLength(1);
      return;
    }
    if (expected.refused !== undefined) {
      expect(table.refused).toBe(true);
      expect(faults.join('\n')).toContain(expected.refused);
      return;
    }
    const rows = table.rows.map(({ bib, finish, sex, age }) => [bib, finish ?? null, sex ?? null, age ?? null]);
    expect(rows).toEqual(expected.rows);
    expect(table.refused).toBe(false);
    const wanted = expected.faults ?? [];
    expect(faults).toHaveLength(wanted.length);
    wanted.forEach((fault, i) => expect(faults[i]).toContain(fault));
    for (const sentence of expected.said ?? []) expect(table.said.join('\n')).toMatch(new RegExp(sentence));
    if (!expected.bibs) return;
    const listed = table.rows.map(({ bib }) => bib);
    const { form, matched, sighted } = expected.bibs;
    expect(matchBibs(listed, sighted).better).toEqual({ form, matched });
  });
});
