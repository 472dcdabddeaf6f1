import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';
import svelteConfig from './svelte.config.js';

/** Which rooms of src/lib each room may import. */
const MAY_IMPORT = {
  records: [],
  race: ['records', 'words'],
  tally: ['records', 'race'],
  sightings: ['records', 'race'],
  check: ['records', 'race', 'sightings', 'clips'],
  clips: ['records', 'race', 'sightings', 'stats'],
  plan: ['records', 'race', 'sightings', 'stats', 'words'],
  practice: ['records', 'race', 'sightings', 'stats'],
  stats: [],
  words: [],
  findings: ['records', 'race', 'sightings', 'stats', 'words', 'clips', 'plan', 'practice'],
  tables: ['records', 'race', 'sightings', 'clips', 'practice'],
  video: ['records', 'clips'],
  demo: ['records', 'race'],
  wire: ['records', 'race'],
  store: ['records', 'race', 'practice', 'plan'],
  sync: ['records', 'race', 'wire', 'store'],
  screen: ['records', 'race', 'wire'],
  server: ['records', 'race', 'wire'],
  ui: [
    'records',
    'race',
    'tally',
    'sightings',
    'check',
    'clips',
    'video',
    'plan',
    'practice',
    'words',
    'findings',
    'tables',
    'demo',
    'wire',
    'store',
    'sync',
    'screen',
  ],
};
const ROOMS = Object.keys(MAY_IMPORT);
/** No DOM, no I/O, no clock, no chance: what they need is handed in. */
const PURE_ROOMS = [
  'records',
  'race',
  'tally',
  'sightings',
  'check',
  'clips',
  'plan',
  'practice',
  'stats',
  'words',
  'findings',
  'demo',
  'screen',
];

const ALL_PACKAGES = {
  svelte: ['svelte', 'svelte/*', '$app/*', '@sveltejs/*'],
  dexie: ['dexie'],
  charts: ['chart.js', 'chart.js/*', 'chartjs-*', '@sgratzl/*'],
  sql: ['kysely', 'better-sqlite3', 'pg'],
  node: ['node:*', 'fs', 'path'],
};
const PACKAGES_KEPT_OUT = {
  ...Object.fromEntries(
    [...PURE_ROOMS, 'tables', 'wire', 'video'].map((room) => [room, ['svelte', 'dexie', 'charts', 'sql', 'node']]),
  ),
  store: ['svelte', 'charts', 'sql', 'node'],
  sync: ['svelte', 'dexie', 'charts', 'sql', 'node'],
  server: ['dexie', 'charts'],
  ui: ['dexie', 'sql', 'node'],
};

const direction = (folder) => {
  const allowed = MAY_IMPORT[folder];
  const closed = ROOMS.filter((other) => other !== folder && !allowed.includes(other));
  const way = allowed.length ? `only ${allowed.join(', ')}` : 'no other room of src/lib';
  return {
    files: [`src/lib/${folder}/**/*.{ts,svelte}`],
    ignores: ['**/*.test.ts'],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: [
            {
              group: closed.flatMap((other) => [
                `$lib/${other}/*`,
                ...[1, 2, 3, 4].map((levels) => `${'../'.repeat(levels)}${other}/*`),
              ]),
              message: `${folder} may import ${way}; what you need belongs there or must be handed in.`,
            },
            {
              group: PACKAGES_KEPT_OUT[folder].flatMap((name) => ALL_PACKAGES[name]),
              message: `${folder} must not know this package; see "How the house is laid out" in DEVELOPERS.md.`,
            },
          ],
        },
      ],
    },
  };
};

/** Figures of a section hold numbers and codes: its English stands in files of its own, so that it can be written again. */
const wordless = {
  files: ['src/lib/findings/sections/*/*.ts'],
  ignores: ['**/*.test.ts', '**/*{words,notes,picture,pictures,table,tables}.ts'],
  rules: {
    'no-restricted-imports': [
      'error',
      {
        patterns: [
          ...direction('findings').rules['no-restricted-imports'][1].patterns,
          {
            group: ['**/words/*', '**/sentences/*', '**/*words.ts'],
            message:
              'Words of a section stand in its words.ts, notes.ts, pictures.ts and tables.ts, apart from its figures.',
          },
        ],
      },
    ],
  },
};

/** The pure core takes time, ids and randomness as arguments. */
const pure = {
  files: [`src/lib/{${PURE_ROOMS.join(',')}}/**/*.ts`],
  ignores: ['**/*.test.ts'],
  rules: {
    'no-console': 'error',
    'no-restricted-globals': [
      'error',
      'window',
      'document',
      'fetch',
      'crypto',
      'performance',
      'setTimeout',
      'localStorage',
    ],
    'no-restricted-syntax': [
      'error',
      { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: 'Take the time as an argument.' },
      {
        selector: "MemberExpression[object.name='Date'][property.name='now']",
        message: 'Take the time as an argument.',
      },
      {
        selector: "MemberExpression[object.name='Math'][property.name='random']",
        message: 'Take randomness as an argument.',
      },
    ],
  },
};

/** The device's tables have one door: everybody else calls what `store` exports. */
const TABLES = 'races|startLists|results|records|blocks|blockIds|counters|settings|hubLinks';
const oneDoor = {
  files: ['src/lib/{ui,sync}/**/*.{ts,svelte}', 'src/routes/**/*.{ts,svelte}'],
  ignores: ['**/*.test.ts'],
  rules: {
    'no-restricted-syntax': [
      'error',
      ...['[object.name="db"]', '[object.property.name="db"]'].map((ofDatabase) => ({
        selector: `MemberExpression${ofDatabase}[property.name=/^(${TABLES}|table|transaction)$/]`,
        message: 'The tables of the device belong to store alone: call a function of src/lib/store, or add one there.',
      })),
    ],
  },
};

export default ts.config(
  { ignores: ['build/', '.svelte-kit/', 'data/', 'test-results/', 'tests/reference/', 'node_modules/'] },
  js.configs.recommended,
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  {
    languageOptions: { globals: { ...globals.browser, ...globals.node } },
    rules: {
      'no-undef': 'off',
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-invalid-void-type': 'off',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
    },
  },
  {
    files: ['src/**/*.{ts,svelte}', 'tests/**/*.ts'],
    languageOptions: {
      parserOptions: {
        projectService: true,
        extraFileExtensions: ['.svelte'],
        parser: ts.parser,
        svelteConfig,
      },
    },
    rules: {
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': ['error', { checksVoidReturn: { attributes: false } }],
      '@typescript-eslint/await-thenable': 'error',
    },
  },
  ...ROOMS.map(direction),
  wordless,
  pure,
  oneDoor,
  {
    // No SvelteKit base path is in use, and the app's links are plain.
    files: ['**/*.svelte', '**/*.svelte.ts'],
    rules: { 'svelte/no-navigation-without-resolve': 'off' },
  },
);
