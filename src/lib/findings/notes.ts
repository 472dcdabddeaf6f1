import type { NoGeeEstimate } from '../stats/paired/exchangeable-gee.ts';
import type { Findings } from './findings.ts';
import { inputNotes } from './inputs-notes.ts';
import { agreementNotes } from './sections/agreement/notes.ts';
import { correctedNotes } from './sections/corrected/notes.ts';
import { coverageNotes } from './sections/coverage/notes.ts';
import type { NoModel } from './sections/finish/figures.ts';
import { finishNotes } from './sections/finish/notes.ts';
import { gaitNotes } from './sections/gait/notes.ts';
import { liveAgainstClipNotes } from './sections/live-against-clip/notes.ts';
import { shareNotes } from './sections/shares/notes.ts';
import { NO_SHIFT, shiftNotes } from './sections/shift/notes.ts';
import { testReasons } from './which-test.ts';

/** What the sections know of their nulls beyond the figures themselves. */
export interface NullReasons {
  readonly trend: NoGeeEstimate | null;
  readonly model: NoModel | null;
  /** Validated runners in the smallest stratum that the corrected difference rests on. */
  readonly fewestInPairs: number | null;
}

/** The sentences a reader of the findings needs: what to read first, what is doubtful, and why each `null` is one. */
export function notesOn(findings: Omit<Findings, 'notes'>, reasons: NullReasons): string[] {
  const whole: Findings = { ...findings, notes: [] };
  const { shares, shift, finish, agreement, coverage, corrected, gait, gaitChange, liveAgainstClip } = findings;
  return [
    ...inputNotes(whole),
    ...shareNotes(whole),
    ...(shift ? shiftNotes(shift, shares, reasons.trend) : [NO_SHIFT]),
    ...(finish ? finishNotes(finish, reasons.model) : []),
    ...agreementNotes(agreement),
    ...(coverage ? coverageNotes(coverage) : []),
    ...correctedNotes(corrected, reasons.fewestInPairs),
    ...gaitNotes(gait, gaitChange),
    ...liveAgainstClipNotes(liveAgainstClip),
    ...testReasons(whole),
  ];
}
