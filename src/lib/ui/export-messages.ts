/** What a person chose for an export. */
export interface ExportChoices {
  /** Bibs replaced by codes in every table; names, notes and changes left out. */
  readonly coded: boolean;
  /** Finish times rounded to the minute. */
  readonly rounded: boolean;
  /** The day by which the receiver is to delete it (`2027-10-04`), or empty. */
  readonly deleteBy: string;
}

export interface ExportRequest {
  readonly raceId: string;
  readonly choices: ExportChoices;
  /** The clock, RFC 3339. */
  readonly created: string;
}

export interface ExportedFile {
  readonly name: string;
  /** What it is, for the list. */
  readonly about: string;
  readonly blob: Blob;
  /** Whether it must stay apart from the rest: the key from bibs to codes. */
  readonly apart?: boolean;
}

export type ExportReply =
  | { readonly kind: 'progress'; readonly words: string }
  | { readonly kind: 'done'; readonly files: ExportedFile[]; readonly said: string[] }
  | { readonly kind: 'failed'; readonly message: string };
