// @vitest-environment jsdom
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { fetchOrBegun } from './begun.js';

const asked: string[] = [];
const answer = (text: string, status = 200) => Promise.resolve(new Response(text, { status }));
const of = async (path: string, method = 'GET') =>
  (await fetchOrBegun(new Request(`http://coldrounds.test${path}`, { method }))).text();

beforeEach(() => {
  asked.length = 0;
  vi.stubGlobal('fetch', (request: Request) => {
    asked.push(new URL(request.url).pathname);
    return answer('asked');
  });
  vi.spyOn(performance, 'now').mockReturnValue(500);
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  delete window.begun;
});

describe('what was asked for before the program was there', () => {
  it('is taken once, by its path and query', async () => {
    window.begun = { '/api/rounds?limit=12': answer('begun') };
    expect(await of('/api/rounds?limit=40')).toBe('asked');
    expect(await of('/api/rounds?limit=12')).toBe('begun');
    expect(await of('/api/rounds?limit=12')).toBe('asked');
    expect(asked).toHaveLength(2);
  });

  it('is asked for again where it failed or was refused, and where it is old', async () => {
    window.begun = {
      '/api/session': Promise.reject(new Error('away')),
      '/api/rounds': answer('starting', 503),
    };
    expect(await of('/api/session')).toBe('asked');
    expect(await of('/api/rounds')).toBe('asked');
    window.begun = { '/api/session': answer('begun') };
    vi.spyOn(performance, 'now').mockReturnValue(60_000);
    expect(await of('/api/session')).toBe('asked');
  });

  it('never answers what changes something', async () => {
    window.begun = { '/api/session': answer('begun') };
    expect(await of('/api/session', 'POST')).toBe('asked');
  });
});
