import { loadLeadCode, saveLeadCode } from '../../../store/race/lead-code.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';

/** Draws runners to review in the lead's name, which is asked for once on a device. */
export class DrawDesk {
  /** The checkpoint that waits for a name. */
  #waiting = $state<string | null>(null);

  constructor(
    private readonly db: KerbsideDatabase,
    private readonly raceId: string,
    private readonly drawNow: (checkpoint: string, lead: string) => Promise<void>,
  ) {}

  get waiting(): string | null {
    return this.#waiting;
  }

  async draw(checkpoint: string): Promise<void> {
    const lead = await loadLeadCode(this.db, this.raceId);
    if (lead === null) this.#waiting = checkpoint;
    else await this.drawNow(checkpoint, lead);
  }

  async name(code: string): Promise<void> {
    const checkpoint = this.#waiting;
    await saveLeadCode(this.db, this.raceId, code.trim());
    this.#waiting = null;
    if (checkpoint !== null) await this.drawNow(checkpoint, code.trim());
  }

  leave(): void {
    this.#waiting = null;
  }
}
