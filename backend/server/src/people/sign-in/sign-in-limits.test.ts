import { describe, expect, it } from 'vitest';
import { networkOf, SignInLimits } from './sign-in-limits.js';

const attempt = (address: string, device: string | null = null, email = 'a@example.org') => ({
  email,
  address,
  device,
});

/** How many of `count` attempts are let through. */
async function letThrough(
  limits: SignInLimits,
  count: number,
  one: (n: number) => ReturnType<typeof attempt>,
) {
  let passed = 0;
  for (let n = 0; n < count; n++)
    await limits.take(one(n)).then(
      () => passed++,
      () => {},
    );
  return passed;
}

describe('limits of sign-in attempts', () => {
  it('stop guessing at one account from one network', async () => {
    const limits = new SignInLimits();
    expect(await letThrough(limits, 100, () => attempt('203.0.113.7'))).toBe(5);
  });

  it('stop guessing at many accounts from one network', async () => {
    const limits = new SignInLimits();
    expect(
      await letThrough(limits, 1000, (n) => attempt('203.0.113.7', null, `person-${n}@example.org`)),
    ).toBe(50);
  });

  it('do not keep the owner of an account out, however many others try at it', async () => {
    const limits = new SignInLimits();
    await letThrough(limits, 2000, (n) => attempt(`198.51.${n % 200}.${Math.floor(n / 200)}`));
    // From a network of their own, and in a browser that they have signed in with, even from the attacker's network.
    await expect(limits.take(attempt('192.0.2.1'))).resolves.toBeUndefined();
    await expect(limits.take(attempt('198.51.0.0', 'own browser'))).resolves.toBeUndefined();
  });

  it('limit a browser that is known too', async () => {
    const limits = new SignInLimits();
    expect(await letThrough(limits, 100, () => attempt('192.0.2.1', 'own browser'))).toBe(10);
  });

  it('forget an account’s failures from a network once somebody signs in from there', async () => {
    const limits = new SignInLimits();
    await letThrough(limits, 4, () => attempt('192.0.2.1'));
    await limits.take(attempt('192.0.2.1'));
    await limits.succeeded(attempt('192.0.2.1'));
    expect(await letThrough(limits, 100, () => attempt('192.0.2.1'))).toBe(5);
  });
});

describe('the network of an address', () => {
  it('is a /64 of IPv6 (RFC 4291: 64 bits of subnet prefix), and an IPv4 address itself', () => {
    expect(networkOf('203.0.113.7')).toBe('203.0.113.7');
    expect(networkOf('::ffff:203.0.113.7')).toBe('203.0.113.7');
    expect(networkOf('2001:db8:1:2:3:4:5:6')).toBe('2001:db8:1:2');
    expect(networkOf('2001:db8::1')).toBe('2001:db8:0:0');
    expect(networkOf('::1')).toBe('0:0:0:0');
  });
});
