import type { Checkpoint } from '../../../race/race.ts';
import { proposedCheckpoint } from '../../../race/station.ts';
import type { TallyPost } from '../../../store/race/tally-settings.ts';
import type { SeenBibs } from '../seen-bibs.svelte.ts';

/** Which of the station's checkpoints a runner is at. */
export class StationPlaces {
  constructor(
    private readonly needs: { readonly post: TallyPost; readonly checkpoints: readonly Checkpoint[] },
    private readonly seen: SeenBibs,
    /** Where the runner before was. */
    private readonly last: () => string | undefined,
  ) {}

  /** Of places apart, the one where the observer is: it stays until the observer moves on. */
  get here(): string | undefined {
    return this.needs.post.places === 'apart' ? this.needs.post.here : undefined;
  }

  /** The chosen one, else the bib's next on the laps. */
  of(chosen: string | undefined, bib: string | null): Checkpoint {
    return this.needs.checkpoints.find((c) => c.id === chosen) ?? this.#proposal(bib);
  }

  /** Where a runner is of whom nothing was chosen, after a look at what the device holds. */
  async next(bib: string | null): Promise<string> {
    if (this.needs.checkpoints.length > 1 && bib !== null) await this.seen.read(bib);
    return this.#proposal(bib).id;
  }

  #proposal(bib: string | null): Checkpoint {
    const { checkpoints } = this.needs;
    if (bib === null) {
      // Nobody's bib: most likely the lap that runs now.
      const last = checkpoints.find((c) => c.id === this.last());
      return last ?? proposedCheckpoint(checkpoints, () => false);
    }
    const seen = this.seen.of(bib);
    return proposedCheckpoint(checkpoints, (id) => seen?.[id] !== undefined);
  }
}
