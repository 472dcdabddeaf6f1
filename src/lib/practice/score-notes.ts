import type { CountedShare, PassReason, SessionScore } from './practice-scores.ts';
import { PASS_EACH, PASS_MARK } from './pass-mark.ts';

type Scored = Omit<SessionScore, 'notes'>;

const PASS_WORDS: Readonly<Record<PassReason, string>> = {
  tooFew: `Neither passed nor failed: it takes ${String(PASS_EACH)} classed answers of every class that the mix has.`,
  notRaceLevel: 'Neither passed nor failed: the set is slower or easier than a race (rate 1, level 4 or 5).',
  unseen: 'More than a tenth of the answers are "not seen".',
  low: `The lower limit of Youden's index is below ${String(PASS_MARK)}.`,
};

/** What a reader of a score needs beside its figures, and why each `null` is one. */
export function scoreNotes(score: Scored): string[] {
  return [
    ...score.pass.why.map((reason) => PASS_WORDS[reason]),
    ...nullNotes(score),
    ...(score.missing > 0 ? [`Items of the key without an answer: ${String(score.missing)}.`] : []),
    ...(score.sequential.decision === 'open'
      ? []
      : ['The sequential test may end a training early; it is no pass, since stopping on a good run flatters.']),
    score.basis === 'drawn'
      ? 'A drawn set is a floor: who fails it will not see it on the road; who passes may still not.'
      : 'Clips come nearer to a race than drawings; only the clips of a race measure that race.',
    'Response times hold no bib: on the road a runner takes longer.',
  ];
}

function nullNotes({ rearfoot, atMix, kappa, nearFar, drift, classed }: Scored): string[] {
  if (classed === 0) return ['Every answer is "not seen": there is nothing to score.'];
  const notes: string[] = [];
  const missing = (parts: Readonly<Record<string, CountedShare>>) =>
    Object.entries(parts)
      .filter(([, { n }]) => n === 0)
      .map(([name]) => name);
  const none = missing({ rearfoot: rearfoot.sensitivity, ...rearfoot.other });
  if (none.length > 0) {
    const hence = rearfoot.youden === null || atMix.agreement.share === null ? '; what needs them is null' : '';
    notes.push(`No classed item of class ${none.join(' or ')}${hence}.`);
  }
  if (rearfoot.youden !== null && rearfoot.pairsFactor === null) {
    notes.push("pairsFactor is null: Youden's index is not above 0, so no number of pairs is enough.");
  }
  if (kappa.estimate === null) notes.push('kappa is null: key and answers have one class only.');
  if (nearFar.p === null) notes.push('nearFar is null: it needs both feet, and right and wrong answers.');
  if (drift.p === null) notes.push('drift is null: it needs right and wrong answers in two parts of the session.');
  return notes;
}
