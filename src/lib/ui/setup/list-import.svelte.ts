import { rowChanges, type RowChanges } from '../../race/row-changes.ts';
import type { ResultRow, StartListRow } from '../../race/race.ts';
import {
  readOrganiserFileInSteps,
  type OrganiserKind,
  type OrganiserRows,
  type OrganiserTable,
} from '../../tables/organiser/organiser-file.ts';
import { matchBibs, rowsInForm, type BibForm, type BibMatch } from '../../tables/organiser/bib-forms.ts';
import type { OrganiserField } from '../../tables/organiser/organiser-headings.ts';
import type { RaceKnown } from '../../tables/organiser/results-writing.ts';
import type { TimeForm } from '../../tables/organiser/time-forms.ts';
import { isZip, noWorkbookWords, workbookText } from '../../tables/organiser/workbook.ts';
import { storeFailure, storeFailureWords } from '../../store/store-failure.ts';

/** Larger than any race's list; above it reading would take the tablet's memory. */
const LARGEST_FILE_BYTES = 200 * 1024 * 1024;

/** Where an import takes its rows to and what it compares them with. */
export interface ImportPlace<Kind extends OrganiserKind> {
  load: () => Promise<OrganiserRows[Kind][]>;
  save: (rows: OrganiserRows[Kind][]) => Promise<void>;
  startOfWallClock?: (text: string) => string | null;
  /** What the set-up says of the race, to judge times and count ages by. */
  known?: () => RaceKnown;
  /** The bibs that were sighted, for a list that writes them otherwise. */
  sightedBibs?: () => Promise<readonly string[]>;
}

/** One file on its way in: read, shown, its columns changed, compared with what is here, and only then kept. */
export class ListImport<Kind extends OrganiserKind> {
  readonly kind: Kind;
  #kept = $state.raw<readonly OrganiserRows[Kind][]>([]);
  #fileName = $state('');
  #bytes: Uint8Array | undefined;
  /** The bytes of a workbook, for its other sheets; `null` of a text file. */
  #workbook: Uint8Array | null = null;
  #sheets = $state.raw<readonly string[]>([]);
  #sheet = $state('');
  #columns: Partial<Record<OrganiserField, number | null>> = {};
  #headingRow: number | undefined;
  #times: TimeForm | undefined;
  #sexes: readonly (readonly [string, string])[] = [];
  #bibs = $state<BibForm>('as-written');
  #bibMatch = $state.raw<BibMatch | null>(null);
  #sighted: readonly string[] = [];
  #progress = $state<number | null>(null);
  /** Counts the readings, so that an older one that is still under way gives up. */
  #reading = 0;
  #table = $state.raw<OrganiserTable<Kind> | null>(null);
  #changes = $state.raw<RowChanges<StartListRow | ResultRow> | null>(null);
  #said = $state('');
  #problem = $state('');
  readonly #place: ImportPlace<Kind>;

  constructor(kind: Kind, place: ImportPlace<Kind>) {
    this.kind = kind;
    this.#place = place;
  }

  /** The rows on this device. */
  get kept() {
    return this.#kept;
  }
  get fileName() {
    return this.#fileName;
  }
  /** Share read, 0 to 1, while a file is being read. */
  get progress() {
    return this.#progress;
  }
  /** What the file holds; nothing of it is kept before `keep`. */
  get table() {
    return this.#table;
  }
  /** What keeping it would change. */
  get changes() {
    return this.#changes;
  }
  /** The sheets of a workbook; none of a text file. */
  get sheets() {
    return this.#sheets;
  }
  /** The sheet that is read. */
  get sheet() {
    return this.#sheet;
  }
  /** How the bibs of the file meet the sighted ones; `null` before a file is read. */
  get bibMatch() {
    return this.#bibs === 'as-written' ? this.#bibMatch : null;
  }
  get said() {
    return this.#said;
  }
  get problem() {
    return this.#problem;
  }

  async readKept(): Promise<void> {
    this.#kept = await this.#place.load();
  }

  async open(file: File): Promise<void> {
    this.discard();
    this.#said = '';
    if (file.size > LARGEST_FILE_BYTES) {
      this.#problem = `${file.name} is larger than 200 MB: no start list or results are.`;
      return;
    }
    const opening = this.#reading;
    this.#progress = 0;
    this.#fileName = file.name;
    let bytes: Uint8Array;
    try {
      bytes = new Uint8Array(await file.arrayBuffer());
    } catch {
      if (opening !== this.#reading) return;
      this.discard();
      this.#problem = `${file.name} could not be read. Is it still where it was?`;
      return;
    }
    // Another file was chosen, or this one was stopped, in the meantime.
    if (opening !== this.#reading) return;
    if (isZip(bytes)) {
      this.#workbook = bytes;
      await this.#readSheet();
      return;
    }
    this.#bytes = bytes;
    await this.#read();
  }

  /** Reads a sheet of the workbook as a text table; by default the first that is not empty. */
  async #readSheet(sheet?: string): Promise<void> {
    const workbook = this.#workbook;
    if (!workbook) return;
    const reading = this.#reading;
    const read = await workbookText(workbook, sheet);
    if (reading !== this.#reading) return;
    if (!read.ok) {
      const name = this.#fileName;
      this.discard();
      this.#problem = `${name} ${noWorkbookWords(read.error)}.`;
      return;
    }
    this.#sheets = read.value.sheets;
    this.#sheet = read.value.sheet;
    this.#bytes = new TextEncoder().encode(read.value.text);
    await this.#read();
  }

  /** Takes another sheet of the workbook: its columns and times are recognised anew. */
  async setSheet(sheet: string): Promise<void> {
    this.#columns = {};
    this.#headingRow = undefined;
    this.#times = undefined;
    this.#sexes = [];
    await this.#readSheet(sheet);
  }

  /** Reads the times of the file in another form, as a person says they are written. */
  async setTimes(times: TimeForm): Promise<void> {
    this.#times = times;
    await this.#read();
  }

  /** Keeps another word for a way in which the file writes a sex; empty for nothing. */
  async setSex(found: string, kept: string): Promise<void> {
    this.#sexes = [...this.#sexes, [found, kept.trim()]];
    await this.#read();
  }

  /** Takes the bibs of the file in the form in which they meet the sighted ones. */
  setBibs(form: BibForm): void {
    if (!this.#table) return;
    this.#bibs = form;
    const rows = rowsInForm<OrganiserRows[Kind]>(this.#table.rows, this.#sighted, form);
    this.#table = { ...this.#table, rows };
    this.#changes = rowChanges<StartListRow | ResultRow>(this.#kept, rows);
  }

  /** Takes another column for a field (index from 0, or `null` for none) and reads the file anew. */
  async setColumn(field: OrganiserField, column: number | null): Promise<void> {
    this.#columns = { ...this.#columns, [field]: column };
    if (field === 'sex') this.#sexes = [];
    await this.#read();
  }

  /** Takes another row for the headings (counted from 1, 0 for none) and recognises the columns anew. */
  async setHeadingRow(row: number): Promise<void> {
    this.#headingRow = row;
    this.#columns = {};
    this.#sexes = [];
    await this.#read();
  }

  /** Ends the reading under way; nothing on the device is changed. */
  stop(): void {
    this.discard();
    this.#said = 'Stopped. Nothing was changed.';
  }

  /** Forgets the file; what is on the device stays. */
  discard(): void {
    this.#reading += 1;
    this.#bytes = undefined;
    this.#workbook = null;
    this.#sheets = [];
    this.#sheet = '';
    this.#columns = {};
    this.#headingRow = undefined;
    this.#times = undefined;
    this.#sexes = [];
    this.#bibs = 'as-written';
    this.#bibMatch = null;
    this.#progress = null;
    this.#table = null;
    this.#changes = null;
    this.#fileName = '';
    this.#problem = '';
  }

  /** Puts the rows of the file in the place of those on the device. */
  async keep(): Promise<void> {
    if (!this.#table) return;
    const { rows } = this.#table;
    try {
      await this.#place.save(rows);
    } catch (error) {
      this.#problem = `Not kept. ${storeFailureWords(storeFailure(error))}`;
      return;
    }
    const name = this.#fileName;
    this.discard();
    await this.readKept();
    this.#said = `${rows.length.toLocaleString('en-GB')} ${rows.length === 1 ? 'runner' : 'runners'} kept from ${name}.`;
  }

  async #read(): Promise<void> {
    const bytes = this.#bytes;
    if (!bytes) return;
    const reading = (this.#reading += 1);
    this.#progress = 0;
    this.#problem = '';
    const { startOfWallClock, known, sightedBibs } = this.#place;
    const outcome = await readOrganiserFileInSteps(
      bytes,
      this.kind,
      {
        columns: this.#columns,
        ...(this.#headingRow === undefined ? {} : { headingRow: this.#headingRow }),
        ...(startOfWallClock ? { startOfWallClock } : {}),
        ...(known ? { known: known() } : {}),
        ...(this.#times ? { times: this.#times } : {}),
        sexes: this.#sexes,
        ...(this.#workbook ? { delimiter: ',' as const } : {}),
      },
      {
        onProgress: (share) => {
          if (reading === this.#reading) this.#progress = share;
        },
        stopped: () => reading !== this.#reading,
        breathe: () => new Promise((resolve) => setTimeout(resolve)),
      },
    );
    if (!outcome.ok || reading !== this.#reading) return;
    const sighted = (await sightedBibs?.()) ?? [];
    if (reading !== this.#reading) return;
    this.#sighted = sighted;
    this.#bibs = 'as-written';
    this.#bibMatch = matchBibs(
      outcome.value.rows.map(({ bib }) => bib),
      sighted,
    );
    this.#progress = null;
    this.#table = outcome.value;
    this.#changes = rowChanges<StartListRow | ResultRow>(this.#kept, outcome.value.rows);
  }
}
