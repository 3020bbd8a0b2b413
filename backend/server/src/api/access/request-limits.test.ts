import { describe, expect, it } from 'vitest';
import { TooManyRequestsError } from '../../people/identity.js';
import { RequestLimits } from './request-limits.js';

describe('requests of an account', () => {
  it('are limited, with a time to wait, and nobody else’s with them', async () => {
    const limits = new RequestLimits(3);
    for (const by of ['session', 'token', 'session'] as const) await limits.take({ personId: 1, by });
    const refused = await limits.take({ personId: 1, by: 'token' }).catch((error: unknown) => error);
    expect(refused).toBeInstanceOf(TooManyRequestsError);
    expect((refused as TooManyRequestsError).wait_s).toBeLessThanOrEqual(60);
    await limits.take({ personId: 2, by: 'session' });
    for (let n = 0; n < 10; n++) await limits.take({ personId: null, by: 'this-machine' });
  });
});
