import type { Role } from '../../records/roles.ts';
import type { KerbsideDatabase } from '../../store/database.ts';
import { hearOfRecords } from '../../store/records/record-news.ts';
import type { SyncState } from '../../sync/sync-state.ts';
import type { RaceSyncView } from '../race-sync-view.svelte.ts';
import { LateReceiving } from '../screen/receive/late-receiving.svelte.ts';
import { LateShowing } from '../screen/show/late-showing.svelte.ts';
import { HandOffFiles } from './files/hand-off-files.svelte.ts';
import { LinkToHub } from './hub/link-to-hub.svelte.ts';
import { LeadDesk } from './lead/lead-desk.svelte.ts';
import { RecordsHere } from './records-here.svelte.ts';

const BOARD_EVERY_MS = 10_000;

export interface HandOffNeeds {
  db: KerbsideDatabase;
  raceId: string;
  sync: RaceSyncView;
  /** Whether the person wants little movement. */
  calm: boolean;
}

/** Handing a race off: through the hub, by file, and from screen to camera. */
export class HandOffScreen {
  readonly raceId: string;
  readonly sync: RaceSyncView;
  readonly here: RecordsHere;
  readonly lead: LeadDesk;
  readonly joining: LinkToHub;
  readonly opening: LinkToHub;
  readonly leaving: LinkToHub;
  readonly files: HandOffFiles;
  readonly showing: LateShowing;
  readonly receiving: LateReceiving;
  /** The organiser key in its field. */
  organiserKey = $state('');
  #now = $state(Date.now());
  #left = $state(false);
  /** Told of last: another role, or more changes, is news. */
  #heard: { role: Role | null; changes: number } = { role: null, changes: 0 };

  constructor({ db, raceId, sync, calm }: HandOffNeeds) {
    const linkChanged = () => sync.linkChanged();
    this.raceId = raceId;
    this.sync = sync;
    this.here = new RecordsHere(db, raceId);
    this.lead = new LeadDesk(db, raceId);
    this.joining = new LinkToHub(db);
    this.opening = new LinkToHub(db);
    this.leaving = new LinkToHub(db);
    this.files = new HandOffFiles(db, linkChanged);
    this.showing = new LateShowing(db, raceId, calm ? 'calm' : 'usual', () => void this.here.read());
    this.receiving = new LateReceiving(db, raceId, linkChanged);
  }

  get role() {
    return this.sync.state.role;
  }
  /** Milliseconds since 1970, a few seconds old at most. */
  get now() {
    return this.#now;
  }
  /** Whether this device has just left the hub. */
  get left() {
    return this.#left;
  }

  /** Shows what is here and at the hub, and keeps it so, until the function that comes back is called. */
  start(): () => void {
    this.look();
    this.opening.knownKey().then(
      (key) => (this.organiserKey ||= key),
      () => undefined,
    );
    const timer = setInterval(() => this.#tick(), BOARD_EVERY_MS);
    const ends = [
      hearOfRecords(this.raceId, () => void this.here.read()),
      this.sync.hear((state) => this.#hear(state)),
      () => clearInterval(timer),
      () => this.showing.forget(),
      () => this.receiving.leave(),
    ];
    return () => ends.forEach((end) => end());
  }

  /** Looks at every record on this device for what is missing. */
  look(): void {
    this.here.readAndLook(this.role).catch(() => undefined);
  }

  /** Answers with the race when the code is another one's. */
  async join(code: string): Promise<string | undefined> {
    const joined = await this.joining.join(code, this.raceId);
    if (!joined) return undefined;
    this.#left = false;
    if (joined.raceId !== this.raceId) return joined.raceId;
    this.sync.linkChanged();
    return undefined;
  }

  /** Opens the race at the hub with the organiser key. */
  async open(key: string): Promise<void> {
    if (!(await this.opening.open(this.raceId, key))) return;
    this.#left = false;
    this.sync.linkChanged();
  }

  async leave(): Promise<void> {
    this.#left = await this.leaving.leave(this.raceId);
    if (this.#left) this.sync.linkChanged();
  }

  async erase(name: string): Promise<void> {
    await this.lead.erase(name);
    if (this.lead.erased) this.sync.linkChanged();
  }

  #hear({ role, changes }: SyncState): void {
    const before = this.#heard;
    if (role === before.role && changes === before.changes) return;
    this.#heard = { role, changes };
    if (changes > 0) this.here.readAndLookIfQuick(role).catch(() => undefined);
    if (role !== null) void this.lead.refresh(role);
    if (role === 'organiser' && before.role !== 'organiser') void this.lead.readCodes();
  }

  #tick(): void {
    this.#now = Date.now();
    const { role } = this;
    if (role !== null && document.visibilityState === 'visible') void this.lead.refresh(role);
  }
}
