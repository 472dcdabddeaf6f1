import { USUAL_CUT_OFFS, type CutOffs } from '../../clips/angles.ts';
import { measurePassages } from '../../clips/measure-passages.ts';
import { nearnessOf, type Passage } from '../../clips/passage.ts';
import { passagesOfRace, type RacePassage } from '../../clips/passages-of-race.ts';
import { entriesOf, type RaceView } from '../../sightings/race-view.ts';
import { tableCsv, type Coding } from '../csv/table-csv.ts';
import { clipNames } from './clip-names.ts';
import { CLIPS_COLUMNS, type ClipRowWritten } from './clips-columns.ts';
import { MARKS_COLUMNS, type MarkRowWritten } from './marks-columns.ts';
import { STEPS_COLUMNS, type StepRow } from './steps-columns.ts';

export interface ClipTableOptions {
  /** What stands in place of a bib, such as a code; clips and passages are then numbered. */
  readonly bibText?: ((bib: string) => string) | undefined;
  readonly cutOffs?: CutOffs;
}

const codingOf = ({ bibText }: ClipTableOptions): Coding | undefined =>
  bibText && { bib: bibText, runner: (code) => code };

/** Clips and passages by their own names, or numbered where bibs are replaced by codes. */
function namesOf(passages: readonly RacePassage[], { bibText }: ClipTableOptions) {
  const { clips, passages: own } = clipNames(passages);
  return {
    clip: (id: string) => (bibText ? (clips.get(id) ?? '') : id),
    passage: (id: string) => (bibText ? (own.get(id) ?? '') : id),
  };
}
type Names = ReturnType<typeof namesOf>;

const ofPassage = ({ checkpoint, observer, clip, id, bib, gait }: Passage, names: Names) => ({
  ...{ checkpoint, observer, bib, gait },
  clipName: names.clip(clip),
  passageName: names.passage(id),
});

/** Writes the marks as they now stand, one row each: corrections applied, withdrawn ones left out. */
export function marksCsv(view: RaceView, options: ClipTableOptions = {}): Generator<string> {
  return tableCsv(MARKS_COLUMNS, markRows(view, options), codingOf(options));
}

function* markRows(view: RaceView, options: ClipTableOptions): Generator<MarkRowWritten> {
  const { passages } = passagesOfRace(view);
  const names = namesOf(passages, options);
  for (const { passage, clip, km, marks } of passages) {
    const { sightingId } = passage;
    const of = { ...ofPassage(passage, names), race: view.race.name, clip, km, sightingId };
    for (const mark of passage.marks) {
      const { record } = marks.get(mark.id)!;
      yield { ...of, mark, record, foot: mark.foot, nearness: nearnessOf(passage, mark.foot) };
    }
  }
}

/** Writes what the marks give, one row for each step. */
export function stepsCsv(view: RaceView, options: ClipTableOptions = {}): Generator<string> {
  return tableCsv(STEPS_COLUMNS, stepRows(view, options), codingOf(options));
}

function* stepRows(view: RaceView, options: ClipTableOptions): Generator<StepRow> {
  const { table, passages } = passagesOfRace(view);
  const { cutOffs = USUAL_CUT_OFFS } = options;
  const names = namesOf(passages, options);
  const kmOf = new Map(table.checkpoints.map(({ name, km }) => [name, km]));
  const feet = new Map([...entriesOf(view)].map(({ record, left, right }) => [record.id, { left, right }]));
  for (const { passage, reading, steps, cadence } of measurePassages(table, () => true).passages) {
    const { fpsRecorded } = passage;
    const of = { ...ofPassage(passage, names), km: kmOf.get(passage.checkpoint), cadence: cadence?.value };
    for (const { contact: at, toeoff, flat, nearness, measures } of steps) {
      const contact = reading.marks[at]!;
      const same = reading.nextSame.get(at);
      yield {
        ...{ ...of, fpsRecorded, cutOffs, contact, nearness, measures, foot: contact.foot },
        toeoff: reading.marks[toeoff]!,
        flat: flat === null ? null : reading.marks[flat]!,
        called: feet.get(passage.sightingId ?? '')?.[contact.foot],
        stride: same === undefined ? null : (reading.marks[same]!.recordedUs - contact.recordedUs) / 1e6,
      };
    }
  }
}

/** Writes the clip that stands of each file at each checkpoint, with how many passages and marks it has. */
export function clipsCsv(view: RaceView, options: ClipTableOptions = {}): Generator<string> {
  return tableCsv(CLIPS_COLUMNS, clipRows(view, options), codingOf(options));
}

function* clipRows(view: RaceView, options: ClipTableOptions): Generator<ClipRowWritten> {
  const { passages } = passagesOfRace(view);
  const names = namesOf(passages, options);
  const places = new Map(view.race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  let unmarked = new Set(passages.map(({ clip }) => clip.clip)).size;
  for (const { record, stands } of view.projection.clips) {
    const place = places.get(record.checkpoint);
    if (!stands || !place) continue;
    const own = passages.filter(({ clip }) => clip.id === record.id);
    yield {
      ...{ record, clip: record, observer: record.observer, race: view.race.name },
      ...{ checkpoint: place.name, km: place.km },
      // A clip without marks has no number yet.
      clipName: names.clip(record.clip) || String((unmarked += 1)),
      passages: own.length,
      marks: own.reduce((sum, { marks }) => sum + marks.size, 0),
    };
  }
}
