import type { DoorMessage } from '../../store-door/door-messages.ts';
import { keepsLocks } from '../../store-door/keeps-locks.ts';
import type { ReadRequest } from './findings-messages.ts';
import { hearOfRace } from './hear-of-race.ts';
import { startFindingsWorker } from './start-findings-worker.ts';

const FINDINGS_PAGE = /^\/races\/([^/]+)\/findings(?:\/club)?\/?$/;
/** An observer who is kept blind never takes it. */
const UNTAKEN_MS = 10_000;

/** A worker that reads a race while the code of the page that will show its findings is still on its way. */
export class EarlyFindings {
  readonly worker = startFindingsWorker();
  readonly #deafen: () => void;
  #changed = false;
  #heard = () => {
    this.#changed = true;
  };

  constructor(readonly raceId: string) {
    // Before it reads: what changes meanwhile is heard.
    this.#deafen = hearOfRace(raceId, () => this.#heard());
    this.worker.postMessage({ own: true } satisfies DoorMessage);
    this.worker.postMessage({ kind: 'read', raceId } satisfies ReadRequest);
  }

  /**
   * Lets `heard` hear of later changes.
   *
   * @returns whether the race has changed since it was read, and the way to stop hearing
   */
  handOver(heard: () => void): { readonly changed: boolean; readonly deafen: () => void } {
    this.#heard = heard;
    return { changed: this.#changed, deafen: this.#deafen };
  }

  end(): void {
    this.#deafen();
    this.worker.terminate();
  }
}

let early: EarlyFindings | null = null;

/** Call first of all when a page is opened, with its path: its findings come sooner by what the page's code takes. */
export function startEarlyFindings(path: string): void {
  const raceId = FINDINGS_PAGE.exec(path)?.[1];
  if (raceId === undefined || keepsLocks()) return;
  const started = new EarlyFindings(raceId);
  early = started;
  setTimeout(() => {
    if (early !== started) return;
    early = null;
    started.end();
  }, UNTAKEN_MS);
}

/** The race's worker, once; whoever takes it ends it. */
export function takeEarlyFindings(raceId: string): EarlyFindings | null {
  if (early?.raceId !== raceId) return null;
  const taken = early;
  early = null;
  return taken;
}
