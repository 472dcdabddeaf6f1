/** What a person chose for an export. */
export interface ExportChoices {
  /** Bibs replaced by codes in every table; names, notes and changes left out. */
  readonly coded: boolean;
  /** Finish times rounded to the minute. */
  readonly rounded: boolean;
  /** The day by which the receiver is to delete it (`2027-10-04`), or empty. */
  readonly deleteBy: string;
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

export type ExportReply =
  | { readonly kind: 'progress'; readonly words: string }
  | { readonly kind: 'done'; readonly files: ExportedFile[]; readonly said: string[] }
  | { readonly kind: 'packed'; readonly zip: Blob }
  | { readonly kind: 'failed'; readonly message: string };
