import type { LogPlace } from './cursor.ts';

/** Some records of a page as they are stored, with commas between them or empty for none, and the place up to which they and all before them go. */
export interface Piece {
  readonly text: string;
  readonly place: LogPlace;
}

/** Characters after which a page ends: 10,000 plain records have less, 10,000 long notes ten times that. */
const MOST_PAGE_CHARACTERS = 4 * 1024 * 1024;
const FIRST_ROWS = 100;
const LEAST_ROWS = 20;
const MOST_ROWS = 5000;

/** How large a page has grown, and how many rows its next piece may have. */
export class PageRoom {
  readonly #pieceCharacters: number;
  #characters = 0;
  #rows = FIRST_ROWS;

  /** @param pieceCharacters what a piece is to have */
  constructor(pieceCharacters: number) {
    this.#pieceCharacters = pieceCharacters;
  }

  get rows(): number {
    return this.#rows;
  }

  get isFull(): boolean {
    return this.#characters >= MOST_PAGE_CHARACTERS;
  }

  /** @param rows how many records, or a few more, are in it */
  take({ text }: Piece, rows: number): void {
    this.#characters += text.length;
    if (text === '') return;
    const fitting = Math.floor((this.#pieceCharacters * rows) / text.length);
    this.#rows = Math.min(MOST_ROWS, Math.max(LEAST_ROWS, fitting));
  }
}
