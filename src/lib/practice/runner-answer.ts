import type { Foot, FootClass } from '../records/foot.ts';

/** What one observer answered to a clip of a whole runner whose classes are known. */
export interface RunnerAnswer {
  readonly item: string;
  readonly observer: string;
  readonly keyLeft: FootClass;
  readonly keyRight: FootClass;
  readonly left: Foot;
  readonly right: Foot;
}
