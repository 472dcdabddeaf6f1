import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';

// Every @example of a doc comment is run. A line is `call; // what it gives`, or the result stands on the line below.
// Numbers are right to the digits that are printed; `…` stands for members that are not shown.

const SRC = fileURLToPath(new URL('../../src/', import.meta.url));
const LIB = join(SRC, 'lib/');
const FOLDERS = ['stats', 'records', 'race', 'tally', 'sightings', 'check', 'clips', 'plan', 'practice'];

interface Example {
  readonly file: string;
  readonly call: string;
  readonly gives: string;
}

function sourcesIn(folder: string): string[] {
  return readdirSync(join(LIB, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts') && !entry.name.endsWith('.test.ts'))
    .map((entry) => join(entry.parentPath, entry.name));
}

function examplesIn(file: string): Example[] {
  const found: Example[] = [];
  for (const [, block] of readFileSync(file, 'utf8').matchAll(/@example\n([\s\S]*?)\*\//g)) {
    const text = block!.replace(/^\s*\* ?/gm, '').split(/^@/m)[0]!;
    for (const [, call, gives] of text.matchAll(/(\S[\s\S]*?);\s*\/\/ (.*)/g)) {
      found.push({ file: file.slice(LIB.length), call: call!, gives: gives! });
    }
    if (!found.length) found.push({ file: file.slice(LIB.length), call: text, gives: '' });
  }
  return found;
}

const files = FOLDERS.flatMap(sourcesIn);
const examples = files.flatMap(examplesIn);

/** The value that an example says it gives, each number beside the digits it is printed with. */
function valueOf(gives: string): unknown {
  const plain = gives.replace(/,?\s*…/g, '');
  const marked = plain.replace(/(?<![\w.])-?\d+(?:\.\d+)?(?:e-?\d+)?/g, (number) => `printed('${number}')`);
  return new Function('printed', `return (${marked});`)((text: string) => new Printed(text)) as unknown;
}

class Printed {
  readonly value: number;
  readonly tolerance: number;
  constructor(text: string) {
    this.value = Number(text);
    const [digits = '', exponent = '0'] = text.split('e');
    const decimals = (digits.split('.')[1] ?? '').length;
    this.tolerance = 0.5000001 * 10 ** (Number(exponent) - decimals);
  }
}

function differences(actual: unknown, expected: unknown, path: string): string[] {
  if (expected instanceof Printed) {
    const isNear = typeof actual === 'number' && Math.abs(actual - expected.value) <= expected.tolerance;
    return isNear ? [] : [`${path}: ${String(actual)} where ${expected.value} is printed`];
  }
  if (expected === null || typeof expected !== 'object') {
    return Object.is(actual, expected) ? [] : [`${path}: ${String(actual)} where ${String(expected)} is printed`];
  }
  if (actual === null || typeof actual !== 'object') return [`${path}: ${String(actual)} is no object`];
  return Object.entries(expected).flatMap(([key, value]) =>
    differences((actual as Record<string, unknown>)[key], value, `${path}.${key}`),
  );
}

const scope = new Map<string, unknown>();
beforeAll(async () => {
  for (const file of files) {
    const module = (await import(/* @vite-ignore */ pathToFileURL(file).href)) as Record<string, unknown>;
    for (const [name, value] of Object.entries(module)) scope.set(name, value);
  }
});

describe('examples in doc comments', () => {
  it('are there for every procedure of stats that has a test of its own', () => {
    expect(examples.length).toBeGreaterThan(30);
  });

  it('stand nowhere else in src, where nobody would run them', () => {
    const all = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((file) => /\.(ts|svelte)$/.test(file));
    const elsewhere = all.filter((file) => !FOLDERS.some((folder) => file.startsWith(join('lib', folder))));
    expect(elsewhere.length).toBeGreaterThan(100);
    expect(elsewhere.filter((file) => readFileSync(join(SRC, file), 'utf8').includes('@example'))).toEqual([]);
  });

  it.each(examples)('$file: $call', ({ call, gives }) => {
    expect(gives, 'an example says what it gives, after // on its line or the next').not.toBe('');
    const actual = new Function(...scope.keys(), `return (${call});`)(...scope.values()) as unknown;
    expect(differences(actual, valueOf(gives), 'result')).toEqual([]);
  });
});
