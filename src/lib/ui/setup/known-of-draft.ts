import { raceLength } from '../../tables/organiser/pace-limits.ts';
import type { RaceKnown } from '../../tables/organiser/results-writing.ts';
import type { SetUpDraft } from './set-up-draft.ts';

const numberOf = (text: string): number | undefined => {
  const number = Number(text.trim().replace(',', '.'));
  return number > 0 ? number : undefined;
};

/** What the form says of the race to which a list belongs. */
export function knownOfDraft(draft: SetUpDraft | null | undefined): RaceKnown {
  if (!draft) return {};
  const last = Math.max(0, ...draft.checkpoints.map(({ km }) => numberOf(km) ?? 0));
  const [hours, minutes, seconds = 0] = draft.startTime.split(':').map(Number);
  const started = hours !== undefined && minutes !== undefined && draft.startTime !== '';
  return {
    length: raceLength(numberOf(draft.km), last),
    raceDate: draft.date || null,
    startOfDay: started ? hours * 3600 + minutes * 60 + seconds : null,
    finishClock: draft.finishClock || null,
  };
}
