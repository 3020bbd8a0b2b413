import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible';
import { isIPv6 } from 'node:net';
import { TooManyAttemptsError } from '../identity.js';

export interface Attempt {
  email: string;
  /** Network address of the one who tries. */
  address: string;
  /** A browser that this account has signed in with before. */
  device: string | null;
}

const window_s = 15 * 60;
const perAccountAndNetwork = 5;
const perNetwork = 50;
const perDevice = 10;

/**
 * Limits failed attempts without a lock that others could close. An account is never locked as such: failures count
 * against the account as tried from one network, and against the network. A browser that the account has signed in
 * with before has a count of its own, so that nobody else, from wherever they try, can keep its owner out.
 */
export class SignInLimits {
  private readonly pairs = new RateLimiterMemory({ points: perAccountAndNetwork, duration: window_s });
  private readonly networks = new RateLimiterMemory({ points: perNetwork, duration: window_s });
  private readonly devices = new RateLimiterMemory({ points: perDevice, duration: window_s });

  /** Counts an attempt before its password is looked at, so that attempts at the same time count too. */
  async take(attempt: Attempt): Promise<void> {
    for (const [limiter, key] of this.of(attempt)) {
      try {
        await limiter.consume(key);
      } catch (refused) {
        if (refused instanceof RateLimiterRes) throw new TooManyAttemptsError(refused.msBeforeNext / 1000);
        throw refused;
      }
    }
  }

  /** The attempt was right: it counts for nothing, and its account starts afresh from there. */
  async succeeded(attempt: Attempt): Promise<void> {
    const [[own, key], ...shared] = this.of(attempt);
    await own.delete(key);
    for (const [limiter, sharedKey] of shared) await limiter.reward(sharedKey);
  }

  private of({ email, address, device }: Attempt): [RateLimiterMemory, string][] {
    if (device !== null) return [[this.devices, device]];
    const network = networkOf(address);
    return [
      [this.pairs, `${email} ${network}`],
      [this.networks, network],
    ];
  }
}

/** A person usually has a whole /64 of IPv6 addresses: it counts as one. */
export function networkOf(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/, '');
  if (!isIPv6(plain)) return plain;
  const [head, tail = ''] = plain.split('::');
  const parts = head.split(':');
  const missing = 8 - parts.length - (tail === '' ? 0 : tail.split(':').length);
  if (plain.includes('::')) parts.push(...Array<string>(Math.max(0, missing)).fill('0'));
  return parts
    .slice(0, 4)
    .map((part) => part || '0')
    .join(':');
}
