import { describe, expect, it } from 'vitest';
import { choiceForm, clockForm, inHundredForm, plainNumber, severalForm } from './read-entry.ts';

describe('entries of a plan', () => {
  it('read what they write', () => {
    expect(clockForm.read(clockForm.write(15_425))).toBe(15_425);
    expect(inHundredForm.read(inHundredForm.write(0.07))).toBe(0.07);
    const shares = severalForm(3, '');
    expect(shares.read(shares.write([3584, 358, 48]))).toEqual([3584, 358, 48]);
  });

  it('take a decimal comma, and minutes without seconds', () => {
    expect(plainNumber('s').read('2,5')).toBe(2.5);
    expect(clockForm.read('4:10')).toBe(15_000);
    expect(severalForm(4, '', inHundredForm).read('70 75,5; 80/82')).toEqual([0.7, 0.755, 0.8, 0.82]);
  });

  it('read nothing where a number is missing, too many or no number', () => {
    for (const text of ['', 'soon', '1 2 3', '1 2 3 4 5', '1 2 3 x']) expect(severalForm(4, '').read(text)).toBeNull();
    for (const text of ['75', '1:75', '', '-1:00']) expect(clockForm.read(text)).toBeNull();
    expect(plainNumber('').read(' ')).toBeNull();
    expect(choiceForm(['gun', 'net']).read('chip')).toBeNull();
  });
});
