import { count } from '../../../words/numbers.ts';
import type { Findings } from '../../findings.ts';
import { place } from '../../sentences/sentences-section.ts';
import type { TableData } from '../../series-picture.ts';
import { correctionBasis } from '../corrected/basis.ts';
import type { CoverageFlow } from './coverage-flow.ts';

/**
 * Whom each figure counts and who is left out of it, a column a checkpoint: the figures of one race are of different runners,
 * and this says which.
 *
 * @param flows those at the early and the late checkpoint, or the single one
 */
export function countedTable(findings: Findings, flows: readonly CoverageFlow[]): TableData {
  const row = (name: string, of: (flow: CoverageFlow) => number | null): string[][] => {
    const cells = flows.map(of);
    return cells.every((cell) => cell === null) ? [] : [[name, ...cells.map(count)]];
  };
  const left = (name: string, of: (flow: CoverageFlow) => number): string[][] =>
    flows.some((flow) => of(flow) > 0) ? row(`left out: ${name}`, of) : [];
  const basis = correctionBasis(findings.corrected);
  const correctable = (flow: CoverageFlow): number | null => {
    const at = basis?.checkpoints.find(({ checkpoint }) => checkpoint === flow.checkpoint);
    return at && at.classes.rearfoot.share !== null ? at.runners : null;
  };
  const both = flows.length > 1;
  return {
    caption: 'Runners sighted, those left out, and whom each figure counts',
    columns: ['Runners', ...flows.map(({ checkpoint }) => place(findings, checkpoint))],
    rows: [
      ...row('Sighted', ({ seen }) => seen),
      ...left('walking', ({ walking }) => walking),
      ...left('disputed', ({ disputed }) => disputed),
      ...left('a foot not seen', ({ unclassified }) => unclassified),
      ...row('Classified: shares', ({ classified }) => classified),
      ...row(
        basis?.kind === 'practice' ? 'Read by who practised: corrected share' : 'Classed live: corrected share',
        correctable,
      ),
      ...row('Classified, with a finish: finish time, coverage', ({ matched }) => matched),
      ...(both ? row('Classified at both: shift', (flow) => flow.both) : []),
      ...(both ? row('Classified at both, with a finish', ({ bothMatched }) => bothMatched) : []),
    ],
  };
}
