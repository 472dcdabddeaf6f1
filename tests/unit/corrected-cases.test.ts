import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/lib/findings/analyse.ts';
import { SightingTableBuilder } from '../../src/lib/sightings/sighting-table.ts';
import { correctedRuns, findingsOfCorrectedRun } from '../helpers/findings/corrected-cases.ts';
import { figureDifferences } from '../helpers/findings/figure-differences.ts';
import { unexplainedNulls } from '../helpers/findings/unexplained-nulls.ts';

const runs = correctedRuns();

// Computed in R apart from this program, by correction.R beside the cases; see tests/reference/README.md.
describe('corrected figures of every reference case', () => {
  it('finds all of them', () => {
    expect(runs.length).toBeGreaterThanOrEqual(18);
  });

  it.each(runs.map((run) => [run.name, run] as const))('%s', (_, run) => {
    const findings = findingsOfCorrectedRun(run);
    expect(figureDifferences(run.expected, findings)).toEqual([]);
    expect(unexplainedNulls(findings).filter((path) => path.startsWith('.corrected'))).toEqual([]);
  });
});

const notesOf = (name: string): string =>
  findingsOfCorrectedRun(runs.find((run) => run.name === name)!).notes.join('\n');

describe('notes on the correction', () => {
  it('say what is assumed, and which of the two sentences use', () => {
    const notes = notesOf('both/expected.json');
    expect(notes).toMatch(/the clip counts as the truth/);
    expect(notes).toMatch(/chosen without looking at how they ran/);
    expect(notes).toMatch(/err at the race as in the practice set/);
    expect(notes).toMatch(/sentences use validation/);
    expect(notes).toMatch(/chosen without regard to which of the three/);
    expect(notes).toMatch(/Not used at Beacon: 27 runners/);
    expect(notes).toMatch(/readings are not used: T4/);
  });

  it('names a checkpoint where nobody was validated; the other keeps its figures', () => {
    const builder = new SightingTableBuilder();
    const see = (checkpoint: string, km: number, bib: number, method: 'live' | 'clip') =>
      builder.add({
        ...{ recordId: `${checkpoint}${bib}${method}`, checkpoint, km, bib: String(bib), gait: 'run', method },
        ...{ left: 'rearfoot', right: 'rearfoot', observer: method === 'live' ? 'A' : 'C', observedAtMs: bib },
      });
    for (let bib = 1; bib <= 10; bib += 1) {
      see('Ford', 5, bib, 'live');
      see('Mill', 15, bib, 'live');
      if (bib <= 4) see('Ford', 5, bib, 'clip');
    }
    const { corrected, notes } = analyse(builder.build(), null);
    const [ford, mill] = corrected!.validation!.checkpoints;
    expect([ford!.classes.rearfoot.share, mill!.classes.rearfoot.share]).toEqual([1, null]);
    expect(notes).toContain(
      'The corrected shares of validation at Mill are null: of 10 runners read rearfoot 0 were validated, and two are needed.',
    );
  });

  it('say why there is no estimate', () => {
    expect(notesOf('degenerate/expected-none.json')).toMatch(/^corrected is null/m);
    expect(notesOf('degenerate/expected-poor.json')).toMatch(/no more often than not/);
    expect(notesOf('degenerate/expected-strangers.json')).toMatch(/by an observer who has practised/);
    expect(notesOf('degenerate/expected-one-place.json')).toMatch(/lies outside 0 to 1/);
    expect(notesOf('degenerate/expected-one-place.json')).toMatch(/difference of validation is null: there is one/);
  });
});
