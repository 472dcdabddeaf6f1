import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BibList } from '../race/bib-list.ts';
import { FOOT_CLASSES } from '../records/foot.ts';
import { utcInstant } from '../records/instant.ts';
import type { KeptEntry } from './kept-entry.ts';
import { meantStep, NO_PROGRESS, type ProgressAction, type TallyProgress } from './meant-step.ts';
import { resumeEntry, STALE_MS } from './resume-entry.ts';
import type { TalliedRunner } from './tally-entry.ts';

const BIBS = new BibList(['91', '92', '93', '94', '195']);
const HERE = { station: 'N4 at-10', now: 10_000, since: [] };

function play(progress: TallyProgress, ...taps: [ProgressAction, number][]) {
  const tallied: TalliedRunner[] = [];
  for (const [action, at] of taps) {
    const step = meantStep(progress, action, at, BIBS);
    progress = step.progress;
    tallied.push(...step.tallied);
  }
  return { progress, tallied };
}
const bib = (text: string): [ProgressAction, number][] =>
  [...text].map((character) => [{ type: 'character', character }, 0]);
const lined = (...bibs: string[]) =>
  bibs.flatMap((one) => [...bib(one), [{ type: 'lineUp' }, 0] as [ProgressAction, 0]]);
const both = (at: number): [ProgressAction, number] => [{ type: 'feet', feet: 'both', foot: 'rearfoot', at }, at];
const kept = (progress: TallyProgress, change: Partial<KeptEntry> = {}): KeptEntry => ({
  ...{ station: HERE.station, at: 9000, seq: 0, progress },
  ...change,
});
const asRecords = (runners: readonly TalliedRunner[]) =>
  runners.map(({ bib, observedAt }) => ({ bib, observedAt: utcInstant(observedAt) }));

describe('what the page before left', () => {
  test('is taken up by the same observer at the same place', () => {
    const { progress } = play(NO_PROGRESS, ...lined('91', '92'), ...bib('19'));
    expect(resumeEntry(kept(progress), HERE)).toEqual({ progress: { entry: progress.entry, repeat: undefined } });
    expect(resumeEntry(undefined, HERE).progress).toEqual(NO_PROGRESS);
  });

  test('by another observer, elsewhere or after six hours it is left and said', () => {
    const { progress } = play(NO_PROGRESS, ...lined('91', '92'), ...bib('19'));
    const bibs = ['19', '91', '92'];
    expect(resumeEntry(kept(progress), { ...HERE, station: 'N5 at-10' })).toEqual({
      ...{ progress: NO_PROGRESS, left: { why: 'elsewhere', bibs, at: 9000 } },
    });
    expect(resumeEntry(kept(progress), { ...HERE, now: 9000 + STALE_MS }).left).toBeUndefined();
    expect(resumeEntry(kept(progress), { ...HERE, now: 9001 + STALE_MS }).left).toMatchObject({ why: 'old', bibs });
    expect(resumeEntry(kept(NO_PROGRESS), { ...HERE, now: STALE_MS * 2 })).toEqual({ progress: NO_PROGRESS });
  });

  test('whoever has become a record since is out of it', () => {
    const before = play(NO_PROGRESS, ...lined('91', '92', '93')).progress;
    const { tallied } = play(before, both(5000));
    const since = asRecords(tallied);
    expect(resumeEntry(kept(before), { ...HERE, since }).progress.entry.lined).toEqual(['92', '93']);

    const half = play(NO_PROGRESS, ...lined('92'), both(5000), ...bib('195')).progress;
    const done = play(NO_PROGRESS, both(5000), ...bib('93'), [{ type: 'confirm' }, 6000]).tallied;
    expect(resumeEntry(kept(half), { ...HERE, since: asRecords(done) }).progress.entry).toMatchObject({ typed: '195' });
  });

  test('a bib with both feet of which only the note is missing is not tallied again', () => {
    const typed = play(NO_PROGRESS, ...bib('91')).progress;
    const { tallied } = play(typed, both(5000));
    const { entry } = resumeEntry(kept(typed), { ...HERE, since: asRecords(tallied) }).progress;
    expect(entry).toEqual(NO_PROGRESS.entry);
  });

  test('a bib of which the note holds the first digits alone does not stay before the next one', () => {
    const begun = play(NO_PROGRESS, ...bib('19')).progress;
    const { tallied } = play(begun, ...bib('5'), both(5000));
    expect(tallied.map((one) => one.bib)).toEqual(['195']);
    expect(resumeEntry(kept(begun), { ...HERE, since: asRecords(tallied) }).progress.entry).toEqual(NO_PROGRESS.entry);
    // A runner who was lined up has another bib than the one that is being typed.
    const beside = { ...begun, entry: { ...begun.entry, lined: ['195'] } };
    expect(resumeEntry(kept(beside), { ...HERE, since: asRecords(tallied) }).progress.entry).toMatchObject({
      ...{ typed: '19', lined: [] },
    });
  });

  test('a question that was answered is not asked again; what waited and was not kept is', () => {
    const asked = play(NO_PROGRESS, ...lined('91', '92', '93'), both(0), both(250), both(2000)).progress;
    const { tallied } = play(asked, [{ type: 'meant' }, 3000]);
    expect(tallied.map((one) => one.bib)).toEqual(['92', '93']);
    const all = resumeEntry(kept(asked), { ...HERE, since: asRecords(tallied) }).progress;
    expect(all.repeat).toBeUndefined();
    expect(all.entry.lined).toEqual([]);
    const first = resumeEntry(kept(asked), { ...HERE, since: asRecords(tallied.slice(0, 1)) }).progress;
    expect(first).toMatchObject({ entry: { lined: ['93'] }, repeat: { taps: [{ at: 2000 }], waiting: [] } });
  });
});

const tap = fc.oneof(
  fc.constantFrom('9', '1', '2').map((character): ProgressAction => ({ type: 'character', character })),
  fc.constantFrom<ProgressAction>({ type: 'lineUp' }, { type: 'confirm' }, { type: 'noBib' }, { type: 'erase' }),
  fc.tuple(fc.constantFrom('left', 'both', 'right'), fc.constantFrom(...FOOT_CLASSES)).map(
    // Its time is set where it is played.
    ([feet, foot]): ProgressAction => ({ type: 'feet', feet, foot, at: 0 }) as ProgressAction,
  ),
);

test('whenever the browser ends, no runner who is a record is taken up again', () => {
  fc.assert(
    fc.property(fc.array(tap, { maxLength: 40 }), fc.nat(), (taps, end) => {
      const timed = taps.map((action, n): [ProgressAction, number] => {
        const at = 1000 * (n + 1);
        return [action.type === 'feet' ? { ...action, at } : action, at];
      });
      const until = end % (timed.length + 1);
      const before = play(NO_PROGRESS, ...timed.slice(0, until)).progress;
      const { tallied } = play(before, ...timed.slice(until, until + 1));
      const { entry } = resumeEntry(kept(before), { ...HERE, since: asRecords(tallied) }).progress;
      for (const { bib: one, observedAt } of tallied) {
        expect(entry.lined).not.toContain(one);
        expect(entry.begunAt).not.toBe(observedAt);
      }
    }),
    { numRuns: 500 },
  );
});
