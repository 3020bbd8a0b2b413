/**
 * Runs a TypeScript program of the tests in a process of its own, from the sources: `node run-ts.mjs FILE`.
 * What is sent and received by `process.send` goes through unchanged.
 *
 * The program and what it imports of ours become one file first, which starts in a third of the time that hundreds of
 * modules take. It is kept for the next start, and made anew as soon as one of its sources has changed.
 */
import { createHash, randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'vite';

const root = fileURLToPath(new URL('../../', import.meta.url));
const program = resolve(process.argv[2]);
// Below the server's packages, so that each package is found in the version that the server has of it.
const place = join(root, 'backend/server/node_modules/.cache/programs');
const prefix = `${createHash('sha256').update(program).digest('hex').slice(0, 16)}-`;

const versionOf = (file) => {
  const { mtimeMs, size } = statSync(file);
  return `${mtimeMs} ${size}`;
};

/** Whether no source has changed since the program in `folder` was made. */
function isCurrent(folder) {
  try {
    const sources = JSON.parse(readFileSync(join(folder, 'sources.json'), 'utf8'));
    return Object.entries(sources).every(([file, version]) => versionOf(file) === version);
  } catch {
    return false;
  }
}

/** Each module goes on to see the address of its own source. */
const ownAddress = {
  name: 'own-address',
  transform: (code, id) =>
    code.includes('import.meta.url')
      ? { code: code.replaceAll('import.meta.url', JSON.stringify(pathToFileURL(id).href)), map: null }
      : undefined,
};

/** Makes the program in a folder of its own, as several processes may do so at once. */
async function make() {
  const folder = join(place, prefix + randomBytes(6).toString('hex'));
  const sources = {};
  const noteVersions = {
    name: 'note-versions',
    // Before a source is read: one that is changed while the program is made is then seen as changed.
    load: { order: 'pre', handler: (id) => void (existsSync(id) && (sources[id] = versionOf(id))) },
  };
  await build({
    root,
    configFile: false,
    logLevel: 'error',
    plugins: [noteVersions, ownAddress],
    resolve: {
      alias: [
        { find: /^@coldrounds\/core$/, replacement: `${root}backend/core/src/index.ts` },
        { find: /^@coldrounds\/core\/(\w+)$/, replacement: `${root}backend/core/src/$1/index.ts` },
        { find: /^@coldrounds\/simulator$/, replacement: `${root}simulator/src/index.ts` },
      ],
    },
    build: {
      ...{ ssr: program, outDir: folder, minify: false, target: 'node20', copyPublicDir: false },
      rolldownOptions: { output: { entryFileNames: 'program.mjs', chunkFileNames: '[name]-[hash].mjs' } },
    },
  });
  writeFileSync(join(folder, 'sources.json'), JSON.stringify(sources));
  return folder;
}

mkdirSync(place, { recursive: true });
const made = readdirSync(place)
  .filter((name) => name.startsWith(prefix))
  .map((name) => join(place, name));
let folder = made.find(isCurrent);
if (folder === undefined) {
  const hourAgo_ms = Date.now() - 3_600_000;
  for (const old of made.filter((one) => statSync(one, { throwIfNoEntry: false })?.mtimeMs < hourAgo_ms))
    rmSync(old, { recursive: true, force: true });
  folder = await make();
}
await import(pathToFileURL(join(folder, 'program.mjs')).href);
