import { angleClass, USUAL_CUT_OFFS, strikeIndex, type CutOffs } from '../../clips/angles.ts';
import { nearnessOf, type PicturePoint } from '../../clips/passage.ts';
import { measurePassages } from '../../clips/measure-passages.ts';
import { passagesOfRace, writtenLevel, type RacePassage } from '../../clips/passages-of-race.ts';
import { LEAST_FPS_ANGLES, LEAST_FPS_TIMES } from '../../clips/step-figures.ts';
import { POINT_NAMES } from '../../records/mark-words.ts';
import { entriesOf, type RaceView } from '../../sightings/race-view.ts';
import { clipNames } from './clip-names.ts';
import { csvLine } from '../csv/csv-line.ts';
import { MARKS_COLUMNS } from './marks-columns.ts';
import { guardCell } from '../csv/spreadsheet-guard.ts';

export interface ClipTableOptions {
  /** What stands in place of a bib, such as a code; clips and passages are then numbered. */
  readonly bibText?: ((bib: string) => string) | undefined;
  readonly cutOffs?: CutOffs;
}

/** Clips and passages by their own names, or numbered where bibs are replaced by codes. */
function namesOf(passages: readonly RacePassage[], { bibText }: ClipTableOptions) {
  const { clips, passages: own } = clipNames(passages);
  return {
    clip: (id: string) => (bibText ? (clips.get(id) ?? '') : id),
    passage: (id: string) => (bibText ? (own.get(id) ?? '') : id),
    bib: (bib: string | null) => (bib === null ? '' : guardCell(bibText ? bibText(bib) : bib)),
  };
}

/** Notes may hold names: they are left out where bibs are codes. */
const noteCell = (note: string | undefined, { bibText }: ClipTableOptions) => (bibText ? '' : guardCell(note ?? ''));
const seconds = (value: number, digits = 6) => value.toFixed(digits);
const pixels = (point: PicturePoint | undefined) =>
  point ? [(point.x / 10).toFixed(1), (point.y / 10).toFixed(1)] : ['', ''];

/** Writes the marks as they now stand, one row each: corrections applied, withdrawn ones left out. */
export function* marksCsv(view: RaceView, options: ClipTableOptions = {}): Generator<string> {
  const { passages } = passagesOfRace(view);
  const names = namesOf(passages, options);
  const race = guardCell(view.race.name);
  yield csvLine(MARKS_COLUMNS);
  for (const { passage, clip, km, marks } of passages) {
    for (const mark of passage.marks) {
      const { record } = marks.get(mark.id)!;
      yield csvLine([
        ...[mark.id, race, guardCell(passage.checkpoint), String(km), names.clip(passage.clip)],
        ...[names.passage(passage.id), passage.sightingId ?? '', names.bib(passage.bib), passage.gait],
        ...[guardCell(passage.observer), passage.direction, mark.foot, nearnessOf(passage, mark.foot), mark.event],
        ...[String(mark.frame), seconds(mark.recordedUs / 1e6), seconds(mark.gapSeconds), String(passage.fpsRecorded)],
        ...[clip.timing, String(clip.width), String(clip.height)],
        clip.level ? String(writtenLevel(clip)) : '',
        clip.lensOff === undefined ? '' : String(clip.lensOff),
        ...POINT_NAMES.flatMap((name) => pixels(mark.points[name])),
        mark.doubtful ? 'true' : '',
        ...[record.madeAt, noteCell(record.note, options), guardCell(record.device), String(record.seq)],
      ]);
    }
  }
}

/** The headings of the table of steps, in the order in which it is written. */
export const STEPS_COLUMNS = [
  ...(['clip', 'passage', 'checkpoint', 'km', 'bib', 'gait', 'observer', 'foot', 'side', 'class'] as const),
  ...(['contact_frame', 'toeoff_frame', 'flat_frame', 'contact_s', 'contact_low', 'contact_high'] as const),
  ...(['flight_s', 'step_s', 'stride_s', 'duty_factor', 'cadence', 'strike_angle', 'strike_angle_sd'] as const),
  ...(['angle_class', 'strike_index', 'shank_angle', 'excluded'] as const),
] as const;

/** Writes what the marks give, one row for each step; empty where a figure cannot be had, and why in `excluded`. */
export function* stepsCsv(view: RaceView, options: ClipTableOptions = {}): Generator<string> {
  const { table, passages } = passagesOfRace(view);
  const names = namesOf(passages, options);
  const { cutOffs = USUAL_CUT_OFFS } = options;
  const kmOf = new Map(table.checkpoints.map(({ name, km }) => [name, km]));
  const feet = new Map([...entriesOf(view)].map(({ record, left, right }) => [record.id, { left, right }]));
  yield csvLine(STEPS_COLUMNS);
  const figure = (value: number | undefined | null) => (value === undefined || value === null ? '' : String(value));
  for (const { passage, reading, steps, cadence } of measurePassages(table, () => true).passages) {
    for (const { contact, toeoff, flat, nearness, measures } of steps) {
      const [on, off, down] = [
        reading.marks[contact]!,
        reading.marks[toeoff]!,
        flat === null ? null : reading.marks[flat]!,
      ];
      const { heel, toe, touch } = on.points;
      const strike = measures.strikeAngle;
      const same = reading.nextSame.get(contact);
      const stride = same === undefined ? null : (reading.marks[same]!.recordedUs - on.recordedUs) / 1e6;
      const reasons = [
        ...(on.doubtful || off.doubtful || down?.doubtful ? ['doubtful'] : []),
        ...(passage.fpsRecorded < LEAST_FPS_TIMES || passage.fpsRecorded < LEAST_FPS_ANGLES ? ['lowRate'] : []),
        ...(measures.shortShoe ? ['shortShoe'] : []),
      ];
      yield csvLine([
        ...[names.clip(passage.clip), names.passage(passage.id), guardCell(passage.checkpoint)],
        ...[
          String(kmOf.get(passage.checkpoint) ?? ''),
          names.bib(passage.bib),
          passage.gait,
          guardCell(passage.observer),
        ],
        ...[on.foot, nearness, feet.get(passage.sightingId ?? '')?.[on.foot] ?? ''],
        ...[String(on.frame), String(off.frame), figure(down?.frame)],
        figure(measures.contact?.value),
        // The true duration lies between: each event happened after the frame before.
        figure(measures.contact && Number((measures.contact.value - off.gapSeconds).toFixed(9))),
        figure(measures.contact && Number((measures.contact.value + on.gapSeconds).toFixed(9))),
        ...[figure(measures.flight?.value), figure(measures.step?.value), figure(stride)],
        ...[figure(measures.duty?.value), figure(cadence?.value)],
        ...[figure(strike?.value), figure(strike && Math.sqrt(strike.pointVariance))],
        strike ? angleClass({ degrees: strike.value, variance: strike.pointVariance }, cutOffs) : '',
        heel && toe && touch ? figure(strikeIndex({ heel, toe }, touch)) : '',
        figure(measures.shankAngle?.value),
        reasons.join(' '),
      ]);
    }
  }
}

/** The headings of the table of clips, in the order in which it is written. */
export const CLIPS_COLUMNS = [
  ...(['record_id', 'race', 'checkpoint', 'km', 'clip', 'observer', 'bytes', 'frames', 'fps_recorded'] as const),
  ...(['fps_from', 'fps_stored', 'timing', 'width', 'height', 'rotation', 'codec', 'direction'] as const),
  ...(['slate_frame', 'slate_at', 'mirrored', 'level', 'lens_off', 'passages', 'marks'] as const),
  ...(['made_at', 'note', 'device', 'seq'] as const),
] as const;

/** Writes the clip that stands of each file at each checkpoint, with how many passages and marks it has. */
export function* clipsCsv(view: RaceView, options: ClipTableOptions = {}): Generator<string> {
  const { passages } = passagesOfRace(view);
  const names = namesOf(passages, options);
  const places = new Map(view.race.checkpoints.map((checkpoint) => [checkpoint.id, checkpoint]));
  yield csvLine(CLIPS_COLUMNS);
  let unmarked = new Set(passages.map(({ clip }) => clip.clip)).size;
  for (const { record, stands } of view.projection.clips) {
    const place = places.get(record.checkpoint);
    if (!stands || !place) continue;
    const own = passages.filter(({ clip }) => clip.id === record.id);
    const optional = (value: number | string | undefined) => (value === undefined ? '' : String(value));
    yield csvLine([
      ...[record.id, guardCell(view.race.name), guardCell(place.name), String(place.km)],
      // A clip without marks has no number yet.
      names.clip(record.clip) || String((unmarked += 1)),
      ...[guardCell(record.observer), String(record.bytes), String(record.frames), String(record.fpsRecorded)],
      ...[record.fpsFrom, String(record.fpsStored), record.timing, String(record.width), String(record.height)],
      ...[String(record.rotation), guardCell(record.codec), record.direction, optional(record.slateFrame)],
      ...[record.slateAt ?? '', record.mirrored ? 'true' : '', record.level?.join(' ') ?? '', optional(record.lensOff)],
      ...[String(own.length), String(own.reduce((sum, { marks }) => sum + marks.size, 0))],
      ...[record.madeAt, noteCell(record.note, options), guardCell(record.device), String(record.seq)],
    ]);
  }
}
