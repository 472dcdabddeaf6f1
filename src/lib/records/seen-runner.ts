import type { Foot, Gait } from './foot.ts';

/** Who was seen and how: what every shape of a sighting says. */
export interface SeenRunner {
  /** `null`: not readable. */
  readonly bib: string | null;
  readonly gait: Gait;
  readonly left: Foot;
  readonly right: Foot;
}
