import { globSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('../../src/', import.meta.url));
const EXPORTED =
  /^\s*export (?:declare )?(?:abstract |async )?(?:function\*?|class|interface|type|const|let|enum) ([\w$]+)/gm;

/** Names that a convention gives to many files. */
const BY_CONVENTION: Readonly<Record<string, RegExp>> = {
  // The framework calls it when server or page start.
  init: /^hooks\.(client|server)\.ts$/,
  // The framework finds an endpoint's answer by the method's name.
  GET: /^routes\/.*\+server\.ts$/,
  POST: /^routes\/.*\+server\.ts$/,
  PUT: /^routes\/.*\+server\.ts$/,
  DELETE: /^routes\/.*\+server\.ts$/,
  // The command line loads a command's file and calls what has this name.
  command: /^cli\//,
};

it('a name that is exported stands for one thing', () => {
  const places = new Map<string, Set<string>>();
  for (const file of globSync('**/*.{ts,svelte,mjs}', { cwd: ROOT })) {
    if (file.endsWith('.test.ts')) continue;
    for (const [, name = ''] of readFileSync(ROOT + file, 'utf8').matchAll(EXPORTED)) {
      if (BY_CONVENTION[name]?.test(file)) continue;
      places.set(name, (places.get(name) ?? new Set()).add(file));
    }
  }
  // As the sources are far more than this, less would mean that they were not found.
  expect(places.size).toBeGreaterThan(1000);
  expect([...places].filter(([, files]) => files.size > 1).map(([name, files]) => [name, ...files])).toEqual([]);
});
