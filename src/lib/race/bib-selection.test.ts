import { describe, expect, it } from 'vitest';
import { bibSelection } from './bib-selection.ts';

describe('bibSelection', () => {
  it('takes bibs with commas, semicolons or spaces between, each once', () => {
    expect(bibSelection(' 12, 7;A-12  12\n007 ')).toEqual(['12', '7', 'A-12', '007']);
    expect(bibSelection('')).toEqual([]);
  });

  it('opens ranges of numbers, leading zeros kept', () => {
    expect(bibSelection('98-101, 5')).toEqual(['98', '99', '100', '101', '5']);
    expect(bibSelection('008 – 010')).toEqual(['008', '009', '010']);
  });

  it('takes for a bib what is no rising range, and a range that nobody can mean', () => {
    expect(bibSelection('12-5')).toEqual(['12-5']);
    expect(bibSelection('1-99999')).toEqual(['1-99999']);
  });
});
