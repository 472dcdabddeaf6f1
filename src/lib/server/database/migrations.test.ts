import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { MIGRATIONS, POSTGRES_DDL, SQLITE_DDL } from './migrations.ts';

const hash = (statements: readonly string[]) =>
  createHash('sha256')
    .update(statements.map((statement) => statement.replace(/\s+/g, ' ')).join(';'))
    .digest('hex')
    .slice(0, 16);

// What has landed has run on people's stores: a line here is added with each migration and never changed.
const LANDED: Readonly<Record<string, { readonly sqlite: string; readonly postgres: string }>> = {
  '0001-first': { sqlite: '80b6bb9682286b73', postgres: 'e579bdefea28e965' },
  '0002-wrong-joins': { sqlite: '5d89d971589d3834', postgres: '5d89d971589d3834' },
  '0003-lifted-limits': { sqlite: 'b06c7bbbd12f44dd', postgres: 'b06c7bbbd12f44dd' },
  '0004-held-up': { sqlite: 'd2857c586340b74b', postgres: 'd2857c586340b74b' },
};

test('no migration that landed is ever rewritten', () => {
  const now = Object.fromEntries(
    Object.entries(MIGRATIONS).map(([name, statements]) => [
      name,
      { sqlite: hash(statements(SQLITE_DDL)), postgres: hash(statements(POSTGRES_DDL)) },
    ]),
  );
  expect(now).toEqual(LANDED);
  expect(Object.keys(MIGRATIONS)).toEqual(Object.keys(MIGRATIONS).sort());
});
