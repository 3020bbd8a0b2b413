import { describe, expect, it } from 'vitest';
import { HeldRefusals } from './held-refusals.js';

describe('refusals that are held back', () => {
  it('wait, but never more than two thousand at once', async () => {
    const releases: (() => void)[] = [];
    const refusals = new HeldRefusals(() => new Promise((resolve) => releases.push(resolve)));
    let answered = 0;
    const all = Array.from({ length: 2_001 }, () => refusals.hold().then(() => answered++));
    await all[2_000];
    expect(answered).toBe(1);
    expect(releases).toHaveLength(2_000);
    for (const release of releases) release();
    await Promise.all(all);
    expect(answered).toBe(2_001);
    const again = refusals.hold();
    expect(releases).toHaveLength(2_001);
    releases[2_000]!();
    await again;
  });
});
