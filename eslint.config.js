import js from '@eslint/js';
import globals from 'globals';
import tseslint from 'typescript-eslint';

/** Who may import whom. Each entry names a part of the tree and what it must not reach for. */
const forbid = (files, patterns, extra = {}) => ({
  files,
  rules: { '@typescript-eslint/no-restricted-imports': ['error', { patterns, ...extra }] },
});

const pg = { group: ['pg', 'pg-*', 'pg/*'], message: 'Only server/storage talks to PostgreSQL.' };
const mqtt = { group: ['mqtt', 'mqtt-packet', 'mqtt/*'], message: 'Only server/ingest talks MQTT.' };
const ours = (names, message) => ({ group: names, message });

export default tseslint.config(
  {
    ignores: [
      '**/dist/**',
      '**/node_modules/**',
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
  { files: ['**/*.config.{js,ts}'], rules: { 'no-restricted-syntax': 'off' } },
  { files: ['frontend/**/*.{ts,tsx}'], languageOptions: { globals: { ...globals.browser } } },
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
  forbid(
    ['backend/server/src/**/*.ts'],
    [
      ours(
        ['@coldrounds/simulator', '@coldrounds/frontend', '**/simulator/**', '**/frontend/**'],
        'server imports core only.',
      ),
      pg,
      mqtt,
    ],
  ),
  forbid(
    ['backend/server/src/storage/**/*.ts'],
    [ours(['@coldrounds/simulator', '@coldrounds/frontend'], 'server imports core only.'), mqtt],
  ),
  forbid(
    ['backend/server/src/ingest/**/*.ts'],
    [ours(['@coldrounds/simulator', '@coldrounds/frontend'], 'server imports core only.'), pg],
  ),
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
