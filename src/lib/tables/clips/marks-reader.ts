import type { Passage, PassageMark, PassageTable } from '../../clips/passage.ts';
import { otherFoot } from '../../clips/read-passage.ts';
import { failed, succeeded, type Attempt } from '../../records/attempt.ts';
import { readNames } from '../csv/column.ts';
import { FaultList } from '../csv/fault-list.ts';
import { readMarkRow, type MarkRow, type MarkTableColumn } from './mark-cells.ts';
import { MARKS_COLUMNS } from './marks-columns.ts';
import { FAULTS_KEPT } from '../sightings/sightings-reader.ts';
import { shownText } from '../csv/shown-text.ts';
import type { TableFault } from '../csv/table-fault.ts';
import { readTableRows } from '../csv/table-rows.ts';

export interface ReadMarks {
  readonly table: PassageTable;
  /** Name of the race; `null` for a table without a row. */
  readonly race: string | null;
  /** One row of each passage, for what it says of its sighting. */
  readonly passageRows: readonly MarkRow[];
}

export interface MarksFaults {
  readonly type: 'faults';
  /** The first {@link FAULTS_KEPT}. */
  readonly faults: readonly TableFault[];
  readonly faultCount: number;
}

/** What must be the same in all rows of one passage, and in all rows of one clip at one checkpoint. */
const OF_PASSAGE = {
  clip: 'clip',
  checkpoint: 'checkpoint',
  observer: 'observer',
  sightingId: 'sighting_id',
  bib: 'bib',
  gait: 'gait',
} as const satisfies Partial<Record<keyof MarkRow, MarkTableColumn>>;
const OF_CLIP = {
  direction: 'direction',
  fpsRecorded: 'fps_recorded',
  timing: 'timing',
  width: 'width',
  height: 'height',
  levelDegrees: 'level_deg',
  lensOffDegrees: 'lens_off',
} as const satisfies Partial<Record<keyof MarkRow, MarkTableColumn>>;

const clipKey = ({ clip, checkpoint }: MarkRow) => JSON.stringify([clip, checkpoint]);
const nearFootOf = ({ foot, nearness }: MarkRow) => (nearness === 'near' ? foot : otherFoot(foot));
const gapSeconds = ({ timing, gap, fpsRecorded }: MarkRow) => (timing === 'even' ? 1 / fpsRecorded : gap);

/**
 * Reads a table of marks from the bytes of a CSV file (RFC 4180, UTF-8 with or without its mark, CRLF or LF). A table
 * without a row is one without marks. n log n in the rows.
 */
export function readMarks(bytes: Uint8Array): Attempt<ReadMarks, MarksFaults> {
  const faults = new FaultList(FAULTS_KEPT);
  const rows = readTableRows<MarkTableColumn>(bytes, readNames(MARKS_COLUMNS), ['frames'], faults);
  const hasFrames = faults.count === 0 && rows.some((row) => row.cell('frames') !== '');
  const read = rows.flatMap((row) => readMarkRow(row, faults, hasFrames) ?? []);
  const { once, metAgain } = withoutRepeats(read, faults);
  const passageRows = checkTogether(once, faults);
  if (faults.count > 0) return failed({ type: 'faults', faults: faults.kept, faultCount: faults.count });
  return succeeded({ table: passageTable(once, passageRows, metAgain), race: once[0]?.race ?? null, passageRows });
}

/** Each record once; an id with another content is a fault. */
function withoutRepeats(rows: readonly MarkRow[], faults: FaultList) {
  const held = new Map<string, MarkRow>();
  const metAgain = new Map<string, number>();
  const once: MarkRow[] = [];
  const content = (row: MarkRow) => JSON.stringify({ ...row, row: 0 });
  for (const row of rows) {
    const before = held.get(row.id);
    if (!before) {
      held.set(row.id, row);
      once.push(row);
    } else if (content(before) === content(row)) {
      metAgain.set(row.checkpoint, (metAgain.get(row.checkpoint) ?? 0) + 1);
    } else {
      const expected = `stands in row ${before.row} with other content`;
      faults.add({ row: row.row, column: 'record_id', found: row.id, expected });
    }
  }
  return { once, metAgain };
}

const cell = (value: unknown) => (value === null ? '' : String(value));

/** Holds rows of one race, checkpoint, passage, clip and frame together; the first row of each passage. */
function checkTogether(rows: readonly MarkRow[], faults: FaultList): MarkRow[] {
  const firsts = new Map<string, MarkRow>();
  /** The first row of what `key` names; a fault when `of` it differs. */
  const hold = (key: string, row: MarkRow, column: MarkTableColumn, of: (row: MarkRow) => unknown, what: string) => {
    const first = firsts.get(key);
    if (!first) firsts.set(key, row);
    else if (of(first) !== of(row)) {
      const expected = `is not the ${JSON.stringify(shownText(cell(of(first))))} of ${what} in row ${first.row}`;
      faults.addLater(() => ({ row: row.row, column, found: cell(of(row)), expected }));
    }
  };
  for (const row of rows) {
    hold('race', row, 'race', ({ race }) => race, 'the race: one file holds one race;');
    hold(JSON.stringify(['km', row.checkpoint]), row, 'km', ({ km }) => km, 'this checkpoint');
    for (const [name, column] of Object.entries(OF_PASSAGE)) {
      hold(`p${row.passage}`, row, column, (one) => one[name as keyof typeof OF_PASSAGE], 'this passage');
    }
    const clip = clipKey(row);
    for (const [name, column] of Object.entries(OF_CLIP)) {
      hold(`c${clip}`, row, column, (one) => one[name as keyof typeof OF_CLIP], 'this clip at this checkpoint');
    }
    hold(`c${clip}`, row, 'side', nearFootOf, 'the near foot of this clip');
    hold(`f${row.frame}${clip}`, row, 'at_s', ({ recordedUs }) => recordedUs, 'this frame in microseconds');
    hold(`f${row.frame}${clip}`, row, 'gap_s', gapSeconds, 'this frame in seconds');
  }
  checkOrder(rows, faults);
  const passages = new Set<string>();
  return rows.filter(({ passage }) => !passages.has(passage) && passages.add(passage));
}

/** In one clip a later frame has a later time. */
function checkOrder(rows: readonly MarkRow[], faults: FaultList): void {
  const clips = new Map<string, MarkRow[]>();
  for (const row of rows) {
    const key = clipKey(row);
    const own = clips.get(key);
    if (own) own.push(row);
    else clips.set(key, [row]);
  }
  for (const own of clips.values()) {
    own.sort((a, b) => a.frame - b.frame);
    own.forEach((row, i) => {
      const before = own[i - 1];
      if (!before || row.frame === before.frame || row.recordedUs > before.recordedUs) return;
      const expected = `is not later than the time of the earlier frame ${before.frame} in row ${before.row}`;
      faults.addLater(() => ({ row: row.row, column: 'at_s', found: String(row.recordedUs / 1e6), expected }));
    });
  }
}

function passageTable(
  rows: readonly MarkRow[],
  passageRows: readonly MarkRow[],
  metAgain: ReadonlyMap<string, number>,
): PassageTable {
  const marks = new Map<string, PassageMark[]>(passageRows.map(({ passage }) => [passage, []]));
  for (const row of rows) {
    const { id, foot, event, frame, recordedUs, points, doubtful, madeAtMs } = row;
    const gap = gapSeconds(row);
    marks.get(row.passage)!.push({ id, foot, event, frame, recordedUs, points, doubtful, madeAtMs, gapSeconds: gap });
  }
  const kmOf = new Map(rows.map(({ checkpoint, km }) => [checkpoint, km]));
  return {
    checkpoints: [...kmOf].map(([name, km]) => ({ name, km })),
    passages: passageRows.map((row): Passage => {
      const { passage, clip, checkpoint, observer, sightingId, bib, gait, direction } = row;
      const { fpsRecorded, levelDegrees, lensOffDegrees } = row;
      return {
        ...{ id: passage, clip, checkpoint, observer, sightingId, bib, gait, direction },
        ...{ nearFoot: nearFootOf(row), fpsRecorded, levelDegrees, lensOffDegrees },
        marks: marks.get(passage)!,
      };
    }),
    metAgain,
    outside: new Map(),
  };
}
