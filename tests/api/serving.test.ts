import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { request } from 'node:http';
import { join } from 'node:path';
import { brotliCompressSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningBroker, startBroker } from '../../backend/server/src/embedded/broker.js';
import { pagePaths } from '../../backend/server/src/api/frontend-files.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../support/store/database.js';
import { listenToEvents } from '../support/events.js';
import { seedFleet } from '../support/store/fleet.js';
import { type Part, startPart } from '../support/parts/process.js';
import { until } from '../support/publish.js';

const script = `console.log(${JSON.stringify('a file that is worth compressing '.repeat(200))});`;

/** COMPUTED: printf 'let a = 1;\n' | openssl dgst -sha256 -binary | base64 */
const scriptSources = "'self' 'sha256-3smTKsMnFX9i0OGCm4n/7GAEzudwCR3kiBveN8jVUAk='";

interface Answer {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  bytes: number;
}

/** Asks without the conveniences of `fetch`, which takes compression off by itself. */
const ask = (url: string, method = 'GET', headers: Record<string, string> = {}) =>
  new Promise<Answer>((resolve, reject) => {
    request(url, { method, headers, agent: false }, (response) => {
      let bytes = 0;
      response.on('data', (chunk: Buffer) => (bytes += chunk.length));
      response.on('end', () => resolve({ status: response.statusCode!, headers: response.headers, bytes }));
    })
      .on('error', reject)
      .end();
  });

describe('how the server answers', () => {
  let server: DatabaseServer;
  let database: Database;
  let broker: RunningBroker;
  let part: Part;
  let folder: string;
  let base: string;

  beforeAll(async () => {
    folder = await temporaryFolder('static');
    await mkdir(join(folder, 'assets'));
    await writeFile(
      join(folder, 'index.html'),
      '<!doctype html><title>Coldrounds</title><script type="application/json">{}</script><script>let a = 1;\n</script>',
    );
    await writeFile(join(folder, 'assets/page-1a2b.js'), script);
    await writeFile(join(folder, 'assets/page-1a2b.js.br'), brotliCompressSync(script));
    server = await startDatabaseServer();
    const DATABASE_URL = await server.newDatabase();
    database = await openMigrated(DATABASE_URL);
    await seedFleet(database, 30);
    broker = await startBroker({ port: await freePort() });
    const PORT = String(await freePort());
    base = `http://127.0.0.1:${PORT}`;
    part = await startPart('support/parts/server-part.ts', {
      DATABASE_URL,
      MQTT_URL: broker.url,
      PORT,
      STATIC_DIR: folder,
      LOG_LEVEL: 'silent',
    });
  });
  afterAll(async () => {
    part?.process.kill('SIGKILL');
    await broker?.stop();
    await database?.close();
    await server?.stop();
    await rm(folder, { recursive: true, force: true });
  });

  it.each(['br', 'gzip'])('compresses answers by %s where the reader can take it', async (encoding) => {
    const plain = await ask(`${base}/api/openapi.json`);
    const packed = await ask(`${base}/api/openapi.json`, 'GET', { 'accept-encoding': encoding });
    expect(plain.headers['content-encoding']).toBeUndefined();
    expect(packed.headers['content-encoding']).toBe(encoding);
    expect(packed.bytes).toBeLessThan(plain.bytes / 4);
  });

  it('hands out files as the build compressed them, to be kept for good', async () => {
    const { headers, bytes } = await ask(`${base}/assets/page-1a2b.js`, 'GET', {
      'accept-encoding': 'gzip, br',
    });
    expect(headers['content-encoding']).toBe('br');
    expect(headers['cache-control']).toContain('immutable');
    expect(bytes).toBe(brotliCompressSync(script).length);
  });

  it.each(['/api/refrigerants', '/api/rounds', '/api/units?sort=site'])(
    'answers 304 on %s to a reader that has the answer already',
    async (path) => {
      const other = await ask(base + path, 'GET', { 'if-none-match': 'W/"other"' });
      expect(other.status).toBe(200);
      // The round's tag changes with the minute too, and with what is found: a second try may be needed.
      await until('an unchanged answer', async () => {
        const { headers } = await ask(base + path);
        const again = await ask(base + path, 'GET', { 'if-none-match': String(headers.etag) });
        return again.status === 304 && again.bytes === 0;
      });
    },
  );

  // OWASP ASVS 5.0, 3.4.2 to 3.4.6.
  it.each([
    '/',
    '/units/harbour/chiller-1',
    '/assets/page-1a2b.js',
    '/nothing.png',
    '/api/units',
    '/api/health',
    '/api/openapi.json',
    '/api/nothing',
    '/metrics',
  ])('sends the headers that keep a browser safe with %s', async (path) => {
    const { headers } = await ask(base + path);
    const policy = String(headers['content-security-policy']);
    for (const directive of [
      /default-src '(self|none)'/,
      /object-src 'none'/,
      /base-uri 'none'/,
      /frame-ancestors 'none'/,
    ])
      expect(policy).toMatch(directive);
    expect(policy).not.toMatch(/unsafe-eval|\*/);
    // The one script within the page, by its hash, and files of this server: no others run.
    const sources = /script-src ([^;]*)/.exec(policy)?.[1] ?? null;
    expect(sources === null || sources === scriptSources).toBe(true);
    if (path === '/') expect(sources).toBe(scriptSources);
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['referrer-policy']).toBe('same-origin');
    expect(headers['content-type']).toMatch(/^[a-z]+\/[a-z0-9.+-]+/);
    expect(headers).not.toHaveProperty('access-control-allow-origin');
    expect(headers).not.toHaveProperty('x-powered-by');
    // Reached by plain HTTP: asking for HTTPS would lock the reader out.
    expect(headers).not.toHaveProperty('strict-transport-security');
  });

  it.each(['/', '/units/harbour/chiller-1', '/assets/page-1a2b.js', '/api/units', '/api/health'])(
    'answers HEAD %s as GET, without a body',
    async (path) => {
      const [get, head] = [await ask(base + path), await ask(base + path, 'HEAD')];
      expect(head).toMatchObject({ status: 200, bytes: 0 });
      expect(get.bytes).toBeGreaterThan(0);
      expect(head.headers['content-type']).toBe(get.headers['content-type']);
    },
  );

  it.each(['/no-such-page', '/units/harbour', '/registry/harbour/units'])(
    'answers 404 at %s with the page that says so, to GET and HEAD alike',
    async (path) => {
      const [get, head] = [await ask(base + path), await ask(base + path, 'HEAD')];
      expect(get.status).toBe(404);
      expect(get.headers['content-type']).toContain('text/html');
      expect(get.bytes).toBeGreaterThan(0);
      expect(head).toMatchObject({ status: 404, bytes: 0 });
    },
  );

  // RFC 9110, 15.5.5 and 15.5.6; RFC 9457.
  it.each([
    ['GET', '/api/nothing', 404],
    ['GET', '/api/units/harbour/no-such-unit', 404],
    ['GET', '/nothing.png', 404],
    ['POST', '/no-such-page', 404],
    ['GET', '/api/units?page=0', 400],
    ['DELETE', '/api/rounds', 405],
    ['PATCH', '/api/units/harbour/chiller-1', 405],
  ])('answers %s %s with a problem of status %d', async (method, path, status) => {
    const response = await fetch(base + path, { method });
    expect(response.status).toBe(status);
    expect(response.headers.get('content-type')).toContain('application/problem+json');
    const problem = (await response.json()) as {
      type: string;
      title: string;
      status: number;
      detail: string;
    };
    expect(problem).toMatchObject({ type: 'about:blank', status });
    expect(problem.title).not.toBe('');
    expect(problem.detail).not.toMatch(/^$|Cannot [A-Z]/);
    expect(response.headers.get('allow')).toBe(status === 405 ? 'GET, HEAD, OPTIONS' : null);
    const head = await ask(base + path, 'HEAD');
    if (method === 'GET') expect(head).toMatchObject({ status, bytes: 0 });
  });

  it('tells by OPTIONS what an address answers', async () => {
    const { status, headers } = await ask(`${base}/api/registry/sites`, 'OPTIONS');
    expect(status).toBe(204);
    expect(headers.allow).toBe('GET, HEAD, POST, OPTIONS');
  });

  it('knows the addresses of all pages of the frontend', async () => {
    const router = await readFile(new URL('../../frontend/src/app/router.tsx', import.meta.url), 'utf8');
    const paths = [...router.matchAll(/(?:path: |route\(\s*)'([^']+)'/g)].map(([, path]) => path);
    expect(paths.length).toBeGreaterThan(20);
    expect([...pagePaths].sort()).toEqual(paths.sort());
  });

  it('ends with code 0 when asked, also while pages listen to events', async () => {
    await Promise.all([1, 2, 3].map(() => listenToEvents(`${base}/api/events`)));
    const ended = new Promise<number | null>((resolve) => part.process.once('exit', resolve));
    part.process.kill('SIGTERM');
    // Where it is not done after 15 s, it ends itself with code 1 (bin/serve.ts).
    expect(await ended).toBe(0);
  });
});
