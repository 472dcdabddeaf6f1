import type { FindingsChoices, FindingsResult } from '../findings/worker/findings-messages.ts';
import type { Anonymity } from '../../tables/coded-export/anonymity.ts';
import type { KeptColumns, StepId } from '../../tables/coded-export/coarsening-steps.ts';

/** What a person chose for an export. */
export interface ExportChoices {
  /** Bibs replaced by codes in every table, all else coarsened; names, notes and changes left out. */
  readonly coded: boolean;
  /** How far an export with codes is coarsened. */
  readonly step: StepId;
  readonly kept: KeptColumns;
  /** What was chosen on Findings. */
  readonly findings: FindingsChoices;
  /** The day by which the receiver is to delete it (`2027-10-04`), or empty. */
  readonly deleteBy: string;
  /** Whether each table begins with a byte-order mark. */
  readonly byteOrderMark: boolean;
}

export interface TablesRequest {
  readonly kind: 'tables';
  readonly raceId: string;
  readonly choices: ExportChoices;
  /** The clock, RFC 3339. */
  readonly created: string;
}

/** Packs files into one zip. */
export interface PackRequest {
  readonly kind: 'pack';
  readonly files: readonly ExportedFile[];
}

export type ExportRequest = TablesRequest | PackRequest;

export interface ExportedFile {
  readonly name: string;
  /** What it is, for the list. */
  readonly about: string;
  readonly blob: Blob;
  /** Whether it must stay apart from the rest: the key from bibs to codes. */
  readonly apart?: boolean;
}

/** How far each step would single runners out, for a person to choose by. */
export type AnonymityOfSteps = readonly { readonly step: StepId; readonly anonymity: Anonymity }[];

export interface ExportedTables {
  readonly files: ExportedFile[];
  readonly said: string[];
  /** Of an export with codes; `null` where bibs stand as they are. */
  readonly anonymity: AnonymityOfSteps | null;
  /** The findings of the exported tables, for the pictures; `null` without a sighting. */
  readonly findings: FindingsResult | null;
}

export type ExportReply =
  | { readonly kind: 'progress'; readonly words: string }
  | ({ readonly kind: 'done' } & ExportedTables)
  | { readonly kind: 'packed'; readonly zip: Blob }
  | { readonly kind: 'failed'; readonly message: string };
