/**
 * `npm run mutants`: changes the core's analysis one place at a time and tells how many of the changes the tests notice.
 *
 *   --folder NAME   one folder of backend/core/src (may be given more than once); all analysis folders if left out
 *   --sample N      so many changes a folder, drawn at random; 0 for all of them (default 60)
 *   --seed S        of that draw (default 1)
 *   --slow          hold the changes against the simulated tests too
 *   --workers N     processes at a time (default 1)
 *   --list          only say what would be changed
 *
 * A change is held against the tests of its own folder and the published values that belong to it (mutants.config.js):
 * what only a test elsewhere would notice counts as not noticed. The engine is Stryker with its Vitest runner. Two things
 * are added to it through its list of mutators: numbers are doubled (0 becomes 1), since limits and constants are what
 * this code is made of, and only the drawn sample is placed. Left out is what the compiler refuses or what changes words
 * only: strings, object and array literals, `?.`, patterns.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import { parseArgs } from 'node:util';
import { Stryker } from '@stryker-mutator/core';
import { createInstrumenter } from '@stryker-mutator/instrumenter';
import { createInjector } from 'typed-inject';
import { root, say } from './prepare.mjs';

const analysis = [
  'hunting',
  'steadiness',
  'sensors',
  'valve',
  'superheat',
  'signals',
  'numerics',
  'backup',
  'diagnosis',
  'attention',
];
const leftOut = ['StringLiteral', 'ObjectLiteral', 'ArrayDeclaration', 'OptionalChaining', 'Regex'];

const { values: options } = parseArgs({
  options: {
    folder: { type: 'string', multiple: true, default: analysis },
    sample: { type: 'string', default: '60' },
    seed: { type: 'string', default: '1' },
    slow: { type: 'boolean', default: false },
    workers: { type: 'string', default: '1' },
    list: { type: 'boolean', default: false },
  },
});
process.chdir(root);

/** The engine's own list, which it reads for every file: not among its exports. */
const { allMutators } =
  await import('../node_modules/@stryker-mutator/instrumenter/dist/src/mutators/mutate.js');

const doubledNumber = {
  name: 'NumericLiteral',
  *mutate(path) {
    // Not what only counts places: indices, and keys of objects.
    if (!path.isNumericLiteral() || ['property', 'key'].includes(path.key)) return;
    const value = path.node.value === 0 ? 1 : 2 * path.node.value;
    yield { type: 'NumericLiteral', value };
  },
};

/** A place in a file, told by the file's length and the place itself: the engine does not pass file names on. */
function keyOf(path, name, index) {
  const program = path.findParent((each) => each.isProgram()) ?? path;
  return `${program.node.end}:${path.node.start}-${path.node.end}:${name}:${index}`;
}

const own = [...allMutators.filter(({ name }) => !leftOut.includes(name)), doubledNumber];
let met = [];
let drawn = null;
allMutators.splice(
  0,
  Infinity,
  ...own.map(({ name, mutate }) => ({
    name,
    *mutate(path) {
      let index = 0;
      for (const replacement of mutate(path)) {
        const key = keyOf(path, name, index++);
        if (drawn === null) met.push({ key, name, line: path.node.loc.start.line });
        if (drawn === null || drawn.has(key)) yield replacement;
      }
    },
  })),
);

function sourcesUnder(folder) {
  return readdirSync(folder)
    .sort()
    .flatMap((name) => {
      const path = join(folder, name);
      if (statSync(path).isDirectory()) return sourcesUnder(path);
      const counts = name.endsWith('.ts') && name !== 'index.ts' && !/\.test\.ts$|^sample-/.test(name);
      return counts ? [path] : [];
    });
}

const silent = new Proxy({}, { get: (_, name) => (name.endsWith('Enabled') ? () => false : () => {}) });
const instrumenter = createInjector().provideValue('logger', silent).injectFunction(createInstrumenter);

/** All changes of a folder, in order. */
async function changesOf(folder) {
  const changes = [];
  for (const file of sourcesUnder(join('backend', 'core', 'src', folder))) {
    met = [];
    await instrumenter.instrument(
      [{ name: join(root, file), content: readFileSync(file, 'utf8'), mutate: true }],
      {
        excludedMutations: [],
        ignorers: [],
        plugins: null,
      },
    );
    changes.push(...met.map((one) => ({ ...one, file })));
  }
  return changes;
}

/** Draws without replacement (Fisher-Yates) by a linear congruential generator (Numerical Recipes, ranqd1). */
function draw(changes, count, seed) {
  let state = seed >>> 0;
  const next = () => (state = (Math.imul(1664525, state) + 1013904223) >>> 0) / 2 ** 32;
  for (let i = 0; i < 5; i++) next();
  const rest = [...changes];
  for (let i = 0; i < Math.min(count, rest.length); i++) {
    const j = i + Math.floor(next() * (rest.length - i));
    [rest[i], rest[j]] = [rest[j], rest[i]];
  }
  return rest.slice(0, count);
}

/** Share with its 95 % interval (Wilson 1927, J. Am. Stat. Assoc. 22:209). */
function shareOf(hits, count) {
  const z = 1.96;
  const p = hits / count;
  const middle = (p + (z * z) / (2 * count)) / (1 + (z * z) / count);
  const half = (z * Math.sqrt((p * (1 - p)) / count + (z * z) / (4 * count * count))) / (1 + (z * z) / count);
  const percent = (value) => Math.round(100 * value);
  return `${percent(p)} % (${percent(middle - half)} to ${percent(middle + half)} %)`;
}

const noticed = ['Killed', 'Timeout'];
const nameOf = (file) => relative(root, file);

/** Changes the drawn places of one folder, one at a time, and says which changes no test notices. */
async function heldAgainstTests(folder, sample) {
  drawn = new Set(sample.map(({ key }) => key));
  process.env.COLDROUNDS_MUTANTS_FOLDER = folder;
  if (options.slow) process.env.COLDROUNDS_MUTANTS_SLOW = '1';
  // A test file that does not even load would leave every change unnoticed.
  const vitest = ['node_modules/vitest/vitest.mjs', 'run', '--config', 'scripts/mutants.config.js'];
  const unchanged = spawnSync(process.execPath, vitest, { encoding: 'utf8' });
  if (unchanged.status !== 0) {
    console.error(unchanged.stdout + unchanged.stderr);
    throw new Error(`the tests of ${folder} fail without any change`);
  }
  const results = await new Stryker({
    testRunner: 'vitest',
    plugins: ['@stryker-mutator/vitest-runner'],
    vitest: { configFile: 'scripts/mutants.config.js', related: false },
    mutate: [...new Set(sample.map(({ file }) => file))],
    ignorePatterns: ['frontend', 'docs', 'docker', 'seeds', 'backend/server', 'dist', 'data'],
    coverageAnalysis: 'perTest',
    concurrency: Number(options.workers),
    timeoutMS: 30_000,
    timeoutFactor: 6,
    tempDirName: '.mutants',
    reporters: ['progress-append-only'],
    allowConsoleColors: false,
    fileLogLevel: 'off',
    checkers: [],
  }).runMutationTest();
  rmSync('.mutants', { recursive: true, force: true });
  drawn = null;

  const counted = results.filter(({ status }) => !['Ignored', 'CompileError', 'Pending'].includes(status));
  console.log(`\nChanges in ${folder} that no test notices:`);
  for (const { fileName, location, mutatorName, replacement, status } of counted) {
    if (noticed.includes(status)) continue;
    const said = replacement?.replace(/\s+/g, ' ').slice(0, 80);
    const reached = status === 'NoCoverage' ? ' (no test runs this line)' : '';
    console.log(
      `  ${nameOf(fileName)}:${location.start.line + 1}:${location.start.column + 1} ${mutatorName} -> ${said}${reached}`,
    );
  }
  const hits = counted.filter(({ status }) => noticed.includes(status)).length;
  return `  ${folder.padEnd(12)} ${String(hits).padStart(5)} of ${String(counted.length).padStart(5)}  ${shareOf(hits, counted.length)}`;
}

const lines = [];
for (const folder of options.folder) {
  const changes = await changesOf(folder);
  if (changes.length === 0)
    throw new Error(`"${folder}" is not a folder of backend/core/src with code to change`);
  const sample =
    Number(options.sample) > 0 ? draw(changes, Number(options.sample), Number(options.seed)) : changes;
  say(`${folder}: ${sample.length} of ${changes.length} changes`);
  if (options.list) for (const { file, line, name } of sample) console.log(`${file}:${line} ${name}`);
  else {
    lines.push(await heldAgainstTests(folder, sample));
    console.log(lines.at(-1));
  }
}
if (!options.list)
  console.log(
    `\nNoticed, of ${options.sample === '0' ? 'all changes' : `${options.sample} a folder`}, seed ${options.seed}:\n${lines.join('\n')}`,
  );
