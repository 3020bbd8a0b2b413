import js from '@eslint/js';
import { createTypeScriptImportResolver } from 'eslint-import-resolver-typescript';
import importX from 'eslint-plugin-import-x';
import globals from 'globals';
import tseslint from 'typescript-eslint';
import { noTypeCircle } from './scripts/no-type-circle.js';

/** Who may import whom. Each entry names a part of the tree and what it must not reach for. */
const forbid = (files, patterns, extra = {}) => ({
  files,
  rules: { '@typescript-eslint/no-restricted-imports': ['error', { patterns, ...extra }] },
});

const pg = { group: ['pg', 'pg-*', 'pg/*'], message: 'Only server/storage talks to PostgreSQL.' };
const mqtt = { group: ['mqtt', 'mqtt-packet', 'mqtt/*'], message: 'Only server/ingest talks MQTT.' };
const ours = (names, message) => ({ group: names, message });

/** The server's rooms, without `api` and `bin`, which stand above all of them. */
const rooms = [
  'assessment',
  'background',
  'config',
  'decisions',
  'embedded',
  'findings',
  'gateways',
  'ingest',
  'live',
  'notices',
  'pages',
  'people',
  'registry',
  'storage',
  'study',
];
const above = (names, message) => ({ regex: `^(\\.\\./)+(${names.join('|')})/`, message });
const serverImports = ours(
  ['@coldrounds/simulator', '@coldrounds/frontend', '**/simulator/**', '**/frontend/**'],
  'server imports core only.',
);
const notFromApi = above(['api', 'bin'], 'The api depends on the domain, never the other way round.');
const notFromPages = above(['pages'], 'Pages read the domain; the domain does not know them.');
const storageBelow = above(
  rooms.filter((room) => room !== 'storage'),
  'storage imports nothing of the features above it.',
);

export default tseslint.config(
  {
    ignores: [
      '**/dist/**',
      '**/node_modules/**',
      '.mutants/**',
      'data/**',
      'frontend/src/api/schema.d.ts',
      'backend/core/fluids/tables/**',
    ],
  },
  js.configs.recommended,
  ...tseslint.configs.recommended,
  {
    languageOptions: { globals: { ...globals.node } },
    rules: {
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      '@typescript-eslint/consistent-type-imports': 'off',
      'no-restricted-syntax': [
        'error',
        { selector: 'ExportDefaultDeclaration', message: 'Named exports only.' },
      ],
    },
  },
  {
    files: ['**/*.{ts,tsx}'],
    plugins: { 'import-x': importX, coldrounds: { rules: { 'no-type-circle': noTypeCircle } } },
    settings: {
      'import-x/extensions': ['.ts', '.tsx'],
      'import-x/parsers': { '@typescript-eslint/parser': ['.ts', '.tsx'] },
      'import-x/resolver-next': [
        createTypeScriptImportResolver({ noWarnOnMultipleProjects: true, project: './tsconfig.json' }),
      ],
    },
    rules: {
      'import-x/no-cycle': ['error', { ignoreExternal: true }],
      'coldrounds/no-type-circle': 'error',
    },
  },
  { files: ['**/*.config.{js,ts}'], rules: { 'no-restricted-syntax': 'off' } },
  { files: ['frontend/**/*.{ts,tsx,js}'], languageOptions: { globals: { ...globals.browser } } },
  {
    files: ['frontend/src/**/*.tsx'],
    rules: {
      'no-restricted-syntax': [
        'error',
        { selector: 'ExportDefaultDeclaration', message: 'Named exports only.' },
        {
          // Within a drawing it is the drawing's own.
          selector:
            ':matches(JSXFragment, JSXElement[openingElement.name.name!=/^(svg|g|rect|path|circle)$/]) > JSXElement[openingElement.name.name="title"]',
          message: 'The title of a page is set by PageTitle (components/page-title.tsx).',
        },
      ],
    },
  },
  forbid(
    ['backend/core/**/*.ts'],
    [
      ours(
        ['@coldrounds/*', '**/server/**', '**/simulator/**', '**/frontend/**'],
        'core imports nothing of ours.',
      ),
      ours(['node:*', 'fs', 'path'], 'core has no I/O.'),
    ],
  ),
  {
    files: ['backend/core/src/**/*.ts'],
    ignores: ['**/*.test.ts'],
    rules: {
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'core has no clock.' },
        { object: 'Math', property: 'random', message: 'core has no randomness.' },
      ],
    },
  },
  {
    files: ['backend/core/**/*.test.ts', 'tests/**/*.ts'],
    rules: { '@typescript-eslint/no-restricted-imports': 'off' },
  },
  forbid(['backend/server/src/**/*.ts'], [serverImports, pg, mqtt]),
  forbid([`backend/server/src/{${rooms.join(',')}}/**/*.ts`], [serverImports, pg, mqtt, notFromApi]),
  forbid(
    ['backend/server/src/{assessment,findings,gateways,ingest,live,registry}/**/*.ts'],
    [serverImports, pg, mqtt, notFromApi, notFromPages],
  ),
  forbid(['backend/server/src/ingest/**/*.ts'], [serverImports, pg, notFromApi, notFromPages]),
  forbid(['backend/server/src/storage/**/*.ts'], [serverImports, mqtt, notFromApi, storageBelow]),
  {
    files: ['{backend,frontend,simulator,scripts}/**/*.{ts,tsx,js,mjs}'],
    ignores: ['**/*.test.{ts,tsx}'],
    rules: { 'max-lines-per-function': ['error', { max: 80, skipBlankLines: true, skipComments: true }] },
  },
  forbid(
    ['frontend/**/*.{ts,tsx}'],
    [
      ours(
        [
          '@coldrounds/core*',
          '@coldrounds/server*',
          '@coldrounds/simulator*',
          '**/backend/**',
          '**/simulator/**',
        ],
        'The frontend knows the generated client only.',
      ),
    ],
  ),
  forbid(
    ['simulator/**/*.ts'],
    [
      {
        regex: '^@coldrounds/core(/(?!(units|numerics|refrigerants|telemetry)$).*)?$',
        message:
          "The simulator may use core's units, numerics, refrigerants and telemetry, never its analysis.",
      },
      ours(
        ['@coldrounds/server', '@coldrounds/frontend', '**/backend/**'],
        'The simulator imports neither server nor frontend.',
      ),
    ],
  ),
);
