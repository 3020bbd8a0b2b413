// Writes backend/server/openapi.json and the frontend's client types from the controllers and schemas, and docs/data-dictionary.md
// from the tables that are exported.
// With --check it writes nothing and ends with 1 where a committed file differs.
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { format, resolveConfig } from 'prettier';
import openapiTypescript, { astToString } from 'openapi-typescript';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const check = process.argv.includes('--check');

if (!process.argv.includes('--no-build'))
  execFileSync(process.execPath, [join(root, 'node_modules/typescript/bin/tsc'), '-b', 'backend/server'], {
    cwd: root,
    stdio: 'inherit',
  });

const { openApiDocument } = await import(join(root, 'backend/server/dist/api/openapi.js'));
const document = await openApiDocument();
const json = `${JSON.stringify(document, null, 2)}\n`;
const types =
  '// Made by `npm run openapi` from backend/server/openapi.json; do not edit.\n' +
  astToString(await openapiTypescript(JSON.parse(json)));

const { dataDictionary } = await import(join(root, 'backend/server/dist/export/dictionary.js'));
const dictionaryFile = join(root, 'docs/data-dictionary.md');
const dictionary = await format(dataDictionary(), {
  ...(await resolveConfig(dictionaryFile)),
  filepath: dictionaryFile,
});

let different = 0;
for (const [path, text] of [
  ['backend/server/openapi.json', json],
  ['frontend/src/api/schema.d.ts', types],
  ['docs/data-dictionary.md', dictionary],
]) {
  const file = join(root, path);
  if (!check) {
    writeFileSync(file, text);
    continue;
  }
  let committed = '';
  try {
    committed = readFileSync(file, 'utf8');
  } catch {
    // A missing file differs.
  }
  if (committed !== text) {
    console.error(`${path} does not match the code; run \`npm run openapi\`.`);
    different = 1;
  }
}
process.exitCode = different;
