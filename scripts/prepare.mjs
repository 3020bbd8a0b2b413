/**
 * Makes a clone ready to run: installs packages when the lock file changed, builds what is older than its sources.
 * Plain Node without packages, because it runs before there are any.
 */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url)).replace(/\/$/, '');

export function say(line) {
  console.log(`coldrounds: ${line}`);
}

/** Runs a command in the project's folder; its output is shown only when it fails, unless `show` is set. */
export function run(command, args, { show = false, env = {} } = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, {
      cwd: root,
      env: { ...process.env, ...env },
      stdio: show ? 'inherit' : ['ignore', 'pipe', 'pipe'],
      shell: process.platform === 'win32',
    });
    let output = '';
    child.stdout?.on('data', (chunk) => (output += chunk));
    child.stderr?.on('data', (chunk) => (output += chunk));
    child.on('error', reject);
    child.on('close', (code, signal) => {
      if (code === 0) return resolve();
      if (output) console.error(output);
      reject(new Error(`"${command} ${args.join(' ')}" ended with ${signal ?? `code ${code}`}`));
    });
  });
}

function stampPath(name) {
  return join(root, '.stamps', name);
}

function isStamped(name, value) {
  return existsSync(stampPath(name)) && readFileSync(stampPath(name), 'utf8') === value;
}

function stamp(name, value) {
  mkdirSync(join(root, '.stamps'), { recursive: true });
  writeFileSync(stampPath(name), value);
}

/** Digest of the names, sizes and times of the files under `paths`: cheap, and changes whenever a source does. */
function sourcesDigest(paths) {
  const hash = createHash('sha256');
  const visit = (path) => {
    const stat = statSync(path);
    if (stat.isDirectory()) {
      for (const name of readdirSync(path).sort()) {
        if (name === 'node_modules' || name === 'dist') continue;
        visit(join(path, name));
      }
    } else {
      hash.update(`${path}\0${stat.size}\0${stat.mtimeMs}\n`);
    }
  };
  for (const path of paths) visit(join(root, path));
  return hash.digest('hex');
}

function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major < 20 || (major === 20 && minor < 19)) {
    throw new Error(`Node 20.19 or newer is needed; this is ${process.versions.node}.`);
  }
}

async function install() {
  const wanted = createHash('sha256')
    .update(readFileSync(join(root, 'package-lock.json')))
    .update(process.version)
    .digest('hex');
  if (existsSync(join(root, 'node_modules')) && isStamped('install', wanted)) return;
  say('installing packages from the npm registry (about a minute) ...');
  await run('npm', ['ci', '--include=dev', '--no-audit', '--no-fund']);
  stamp('install', wanted);
}

const backendSources = [
  'tsconfig.base.json',
  'backend/core/src',
  'backend/core/fluids',
  'backend/core/tsconfig.json',
  'backend/server/src',
  'backend/server/tsconfig.json',
  'simulator/src',
  'simulator/tsconfig.json',
];
const frontendSources = [
  'frontend/src',
  'frontend/index.html',
  'frontend/vite.config.ts',
  'frontend/package.json',
];

async function buildPart(name, sources, outputs, build) {
  const digest = sourcesDigest(sources.filter((path) => existsSync(join(root, path))));
  if (outputs.every((path) => existsSync(join(root, path))) && isStamped(name, digest)) return;
  say(`building the ${name} ...`);
  await build();
  stamp(name, digest);
}

const bin = (name) => join(root, 'node_modules', '.bin', name);

export async function prepare() {
  requireNode();
  await install();
  await Promise.all([
    buildPart('server', backendSources, ['backend/server/dist', 'simulator/dist'], () =>
      run(bin('tsc'), ['-b', 'backend/server', 'simulator']),
    ),
    buildPart('dashboard', frontendSources, ['frontend/dist'], () =>
      run('npm', ['run', 'build', '-w', 'frontend']),
    ),
  ]);
}
