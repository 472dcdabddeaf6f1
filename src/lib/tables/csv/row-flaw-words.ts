import { LONGEST_ROW_BYTES, type RowFlaw } from './csv-scanner.ts';

/** What is wrong with the form of a row, as the end of a fault. */
export const ROW_FLAW_WORDS: Record<RowFlaw, string> = {
  'quote-inside': 'a cell has a quotation mark inside but does not begin with one',
  'text-after-quote': 'there is text between a closing quotation mark and the next comma',
  'lone-carriage-return': 'a carriage return stands alone; rows end with CRLF or LF',
  'unclosed-quote': 'a quotation mark opens a cell here and none closes it before the end of the file',
  'too-long': `is longer than ${LONGEST_ROW_BYTES} bytes: a quotation mark left open, or no table at all`,
};
