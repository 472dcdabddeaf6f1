import * as v from 'valibot';
import { issueWords, plainIssue } from '../../records/plain-issue.ts';
import { raceSchema, type ObserverPost, type Race, type SamplingRule } from '../../race/race.ts';
import { instantOfWallClock, wallClockAt } from '../../race/wall-clock.ts';

export interface CheckpointDraft {
  id: string;
  name: string;
  km: string;
}

export interface ObserverDraft {
  code: string;
  checkpoint: string;
  side: '' | 'left' | 'right';
}

/** What the form holds: texts as typed, so that half a number is no fault before the field is left. */
export interface SetUpDraft {
  name: string;
  date: string;
  startTime: string;
  timeZone: string;
  km: string;
  finishClock: '' | 'gun' | 'net';
  checkpoints: CheckpointDraft[];
  observers: ObserverDraft[];
  rule: SamplingRule;
}

/**
 * A sentence for each field that cannot be kept, by the field's name; rows as `checkpoints.0.km`. What no field shows is
 * there as `race`.
 */
export type SetUpFaults = Readonly<Record<string, string>>;

const numberOf = (text: string) => (text.trim() === '' ? NaN : Number(text.trim().replace(',', '.')));

/** The form's texts for a race. */
export function draftOf(race: Race): SetUpDraft {
  const timeZone = race.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  return {
    name: race.name,
    date: race.date,
    startTime: race.start ? wallClockAt(race.start, timeZone).time.replace(/:00$/, '') : '',
    timeZone,
    km: race.km === undefined ? '' : String(race.km),
    finishClock: race.finishClock ?? '',
    checkpoints: race.checkpoints.map(({ id, name, km }) => ({ id, name, km: String(km) })),
    observers: (race.observers ?? []).map(({ code, checkpoint, side }) => ({ code, checkpoint, side: side ?? '' })),
    rule: race.samplingRule ?? { kind: 'everyone' },
  };
}

/** The race that a draft describes, or what is wrong with it. */
export function raceOfDraft(draft: SetUpDraft, before: Race): { race: Race } | { faults: SetUpFaults } {
  const faults: Record<string, string> = {};
  const km = numberOf(draft.km);
  if (!draft.name.trim()) faults['name'] = 'A race needs a name.';
  if (!draft.date) faults['date'] = 'Expected a date.';
  if (draft.km.trim() && !(km > 0 && km <= 10_000)) faults['km'] = 'Expected a length in km, such as 21.1.';
  let start: string | undefined;
  if (draft.startTime.trim()) {
    try {
      start = instantOfWallClock(draft.date, draft.startTime, draft.timeZone) ?? undefined;
      if (!start) faults['startTime'] = startFault(draft.startTime.trim());
    } catch {
      faults['timeZone'] = 'Expected a time zone by its IANA name, such as Europe/Dublin.';
    }
  }
  const names = new Set<string>();
  const checkpoints = draft.checkpoints.map((row, i) => {
    const name = row.name.trim();
    const at = numberOf(row.km);
    if (!name) faults[`checkpoints.${i}.name`] = 'A checkpoint needs a name.';
    else if (names.has(name)) faults[`checkpoints.${i}.name`] = 'This name is used twice.';
    names.add(name);
    if (!(at >= 0 && at <= 10_000)) faults[`checkpoints.${i}.km`] = 'Expected km from the start, such as 10.';
    return { id: row.id, name, km: at };
  });
  const posts = new Set<string>();
  const observers = draft.observers.map((row, i): ObserverPost => {
    const code = row.code.trim();
    const post = `${code}\n${row.checkpoint}`;
    if (!code) faults[`observers.${i}.code`] = 'An observer needs a code, such as A1.';
    else if (posts.has(post)) faults[`observers.${i}.code`] = 'This observer stands there already.';
    posts.add(post);
    if (!row.checkpoint) faults[`observers.${i}.checkpoint`] = 'Choose a checkpoint.';
    return { code, checkpoint: row.checkpoint, ...(row.side ? { side: row.side } : {}) };
  });
  if (Object.keys(faults).length) return { faults };
  const race = {
    id: before.id,
    name: draft.name.trim(),
    date: draft.date,
    ...(draft.km.trim() ? { km } : {}),
    ...(start ? { start } : {}),
    timeZone: draft.timeZone,
    ...(draft.finishClock ? { finishClock: draft.finishClock } : {}),
    checkpoints,
    observers,
    samplingRule: { ...draft.rule },
    ...(before.revision === undefined ? {} : { revision: before.revision }),
  };
  const checked = v.safeParse(raceSchema, race);
  if (checked.success) return { race: checked.output };
  const found: Record<string, string> = {};
  for (const issue of checked.issues) {
    const field = fieldOf(v.getDotPath(issue) ?? '');
    found[field ?? 'race'] = sentence(field === undefined ? plainIssue(issue) : issueWords(issue));
  }
  return { faults: found };
}

const startFault = (text: string): string =>
  /^\d{1,2}$/.test(text) && Number(text) < 24
    ? `${text} may be an hour or minutes: write ${text}:00 for the hour.`
    : 'Expected a time such as 9:30 or 09:30:00 that the clocks of that day show.';

/** What can be kept and is hardly meant: a question for each field, by its name as in `SetUpFaults`. */
export function questionsOfDraft(draft: SetUpDraft): SetUpFaults {
  const questions: Record<string, string> = {};
  const length = numberOf(draft.km);
  draft.checkpoints.forEach(({ km }, i) => {
    if (numberOf(km) > length) questions[`checkpoints.${i}.km`] = `Beyond the race’s ${length} km?`;
  });
  const codes = draft.observers.map(({ code }) => code.trim());
  codes.forEach((code, i) => {
    const other = codes.find((one) => one !== code && one.toLowerCase() === code.toLowerCase());
    if (other !== undefined)
      questions[`observers.${i}.code`] = `The same as ${other}? Write both alike, or change one.`;
  });
  return questions;
}

/** The field of the form that shows what stands at `path` in a race; `undefined` when none does. */
function fieldOf(path: string): string | undefined {
  if (path.startsWith('samplingRule')) return 'rule';
  return /^(name|date|timeZone|km|checkpoints\.\d+\.(name|km)|observers\.\d+\.(code|checkpoint))$/.test(path)
    ? path
    : undefined;
}

const sentence = (words: string) => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
