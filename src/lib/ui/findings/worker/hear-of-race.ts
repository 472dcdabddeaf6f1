import { hearOfSetUp } from '../../../store/race/set-up-news.ts';
import { hearOfRecords } from '../../../store/records/record-news.ts';

/** Calls `changed` soon after something that a race's findings are made from has changed. Returns the way to stop. */
export function hearOfRace(raceId: string, changed: () => void): () => void {
  const ends = [
    hearOfRecords(raceId, ({ change }) => {
      if (change === 'added' || change === 'pulled' || change === 'erased') changed();
    }),
    hearOfSetUp(raceId, changed),
  ];
  return () => {
    for (const end of ends) end();
  };
}
