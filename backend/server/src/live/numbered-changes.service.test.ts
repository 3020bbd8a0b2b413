import { describe, expect, it } from 'vitest';
import { NumberedChangesService } from './numbered-changes.service.js';

/** Changes numbered from `oldest` to `version`, one unit after the other. */
const serviceOf = (oldest: number, version: number) =>
  new NumberedChangesService({
    state: async () => ({ version }) as never,
    changes: async (since, limit) => ({
      oldest: oldest > version ? null : oldest,
      // One more than the version said: it was committed meanwhile.
      changes: Array.from({ length: version + 2 - oldest }, (_, i) => oldest + i)
        .filter((id) => id > since)
        .slice(0, limit)
        .map((id) => ({ id, unit: `site/unit-${id}`, changedAt: new Date(0), urgency: 0, findings: 1 })),
    }),
  });

describe('the changes of the round', () => {
  it('are told by number, as many as are asked for, and lead to the newest page by page', async () => {
    const service = serviceOf(1, 25);
    const seen: number[] = [];
    let since = 3;
    for (let page = 0; page < 10; page++) {
      const { changes, next, readAgain } = await service.since(since, 10);
      expect(readAgain).toBe(false);
      seen.push(...changes.map(({ id }) => id));
      if (next === since) break;
      since = next;
    }
    expect(seen).toEqual(Array.from({ length: 22 }, (_, i) => 4 + i));
  });

  it('are none for a reader that knows the newest, or asks where the round stands', async () => {
    for (const since of [25, null])
      expect(await serviceOf(1, 25).since(since, 10)).toEqual({
        version: 25,
        next: 25,
        readAgain: false,
        changes: [],
      });
  });

  it('are to be read again where some that were missed are not kept, or the number is not of this store', async () => {
    for (const [service, since] of [
      [serviceOf(10, 25), 8],
      [serviceOf(26, 25), 8],
      [serviceOf(1, 25), 26],
    ] as const)
      expect(await service.since(since, 10)).toEqual({ version: 25, next: 25, readAgain: true, changes: [] });
    expect((await serviceOf(10, 25).since(9, 100)).changes).toHaveLength(16);
  });
});
