import type { CheckInput } from '../../lib/check/input/check-input.ts';
import { DOUBT_KINDS, type Doubt } from '../../lib/check/doubt.ts';
import {
  doubtKnown,
  doubtTitle,
  KIND_WORDS,
  probabilityWords,
  proposalWords,
  type DoubtContext,
} from '../../lib/check/doubt-words.ts';
import { byBib } from './doubts-json.ts';
import { laidOut, sentence, type TextPart } from '../output/text-parts.ts';

const RECORDS_SHOWN = 5;
const INDENT = '   ';
const setIn = (text: string): TextPart => sentence(text, INDENT, INDENT);

/** The doubts for reading, on a terminal of `width` columns. */
export function doubtsText(doubts: readonly Doubt[], input: CheckInput, width: number): string {
  const context: DoubtContext = {
    checkpoints: input.checkpoints,
    clock: (ms) => `${new Date(ms).toISOString().slice(11, 19)} UTC`,
  };
  const counts = DOUBT_KINDS.map((kind) => [kind, doubts.filter((d) => d.kind === kind).length] as const);
  const lines: TextPart[] = [
    doubts.length === 1 ? '1 doubt' : `${doubts.length} doubts`,
    ...counts.filter(([, n]) => n > 0).map(([kind, n]) => `  ${n} ${KIND_WORDS[kind].title.toLowerCase()} (${kind})`),
    '',
  ];
  doubts.forEach((doubt, i) => {
    const place = doubt.checkpoint === null ? '' : `, ${input.checkpoints[doubt.checkpoint]!.name}`;
    lines.push(sentence(`${i + 1}. ${doubtTitle(doubt)} (${doubt.kind}${place})`, '', INDENT));
    for (const known of doubtKnown(doubt, context)) lines.push(setIn(known));
    const likely = byBib(doubt.candidates).slice(0, 3);
    if (likely.length) {
      lines.push(setIn(`May be: ${likely.map((c) => `${c.bib} (${probabilityWords(c.probability)})`).join(', ')}`));
    }
    const proposal = proposalWords(doubt);
    if (proposal) lines.push(setIn(`Proposed: ${proposal}`));
    if (doubt.records.length) {
      const more = doubt.records.length - RECORDS_SHOWN;
      const shown = doubt.records.slice(0, RECORDS_SHOWN).join(', ');
      lines.push(setIn(`Records: ${shown}${more > 0 ? ` and ${more} more` : ''}`));
    }
  });
  return `${laidOut(lines, width).join('\n').trimEnd()}\n`;
}
