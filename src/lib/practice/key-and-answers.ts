import type { Foot, FootClass } from '../records/foot.ts';
import type { FootSide } from './landing.ts';

/** What is known of one item: its class because it was put in or agreed on. */
export interface KeyItem {
  readonly item: string;
  readonly class: FootClass;
  /** `null` where it is not on record. */
  readonly foot: FootSide | null;
  readonly rate: number;
  /** 1 to 5; `null` for a clip. */
  readonly level: number | null;
  /** The set it belongs to, where a table holds several. */
  readonly set?: string | undefined;
}

/** One answer as it fell. */
export interface Answer {
  readonly session: string;
  readonly observer: string;
  /** Order of showing. */
  readonly position: number;
  readonly item: string;
  readonly answer: Foot;
  /** From first contact to the tap, milliseconds, at least 0. */
  readonly responseMs: number;
}
