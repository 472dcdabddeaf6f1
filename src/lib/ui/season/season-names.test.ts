import { expect, it } from 'vitest';
import { seasonNames } from './season-names.ts';

it('names races and files, and tells those of one name apart by date and number', () => {
  const ford = { name: 'Ford Ten', date: '2031-03-02' };
  const again = { name: 'Ford Ten', date: '2031-09-07' };
  expect(seasonNames([ford], ['mill.json'])).toEqual(['Ford Ten', 'mill']);
  expect(seasonNames([ford, again], [])).toEqual(['Ford Ten, 2031-03-02', 'Ford Ten, 2031-09-07']);
  expect(seasonNames([ford, ford], ['Ford Ten.json'])).toEqual([
    'Ford Ten, 2031-03-02',
    'Ford Ten, 2031-03-02 (2)',
    'Ford Ten',
  ]);
});
