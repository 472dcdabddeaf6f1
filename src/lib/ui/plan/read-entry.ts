/** How a value of a plan is written in a field and read from it. What cannot be read is `null`. */
export interface EntryForm<Value> {
  readonly unit: string;
  readonly several?: true;
  readonly read: (text: string) => Value | null;
  readonly write: (value: Value) => string;
}

/** Decimal comma and decimal point are one. */
function numberOf(text: string): number | null {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(value) ? value : null;
}

const short = (value: number): string => String(Number(value.toFixed(4)));

export const plainNumber = (unit: string): EntryForm<number> => ({ unit, read: numberOf, write: short });

/** A share, written as a number in a hundred. */
export const inHundredForm: EntryForm<number> = {
  unit: 'in 100',
  read: (text) => {
    const value = numberOf(text);
    return value === null ? null : Number((value / 100).toFixed(12));
  },
  write: (share) => short(share * 100),
};

/** Seconds, written `h:mm:ss`; read from `h:mm` too. */
export const clockForm: EntryForm<number> = {
  unit: 'h:mm:ss',
  read: (text) => {
    const match = /^(\d{1,3}):([0-5]\d)(?::([0-5]\d))?$/.exec(text.trim());
    return match ? Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3] ?? 0) : null;
  },
  write: (seconds) => {
    const whole = Math.round(seconds);
    const two = (n: number): string => String(n).padStart(2, '0');
    return `${String(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
  },
};

/** Several numbers in a row, parted by blanks, colons, semicolons or strokes. */
export function severalForm(
  count: number,
  unit: string,
  each: EntryForm<number> = plainNumber(''),
): EntryForm<number[]> {
  return {
    unit,
    several: true,
    read: (text) => {
      const parts = text.split(/[\s:;/]+/).filter((part) => part !== '');
      const values = parts.map(each.read);
      return values.length === count && values.every((value) => value !== null) ? values : null;
    },
    write: (values) => values.map(each.write).join(' : '),
  };
}

/** One of a few words. */
export function choiceForm<Choice extends string>(choices: readonly Choice[]): EntryForm<Choice> {
  return {
    unit: '',
    read: (text) => choices.find((choice) => choice === text) ?? null,
    write: (choice) => choice,
  };
}
