import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible';
import { TooManyAttemptsError } from '../identity.js';

const quarterHour_s = 15 * 60;
const perQuarterHour = 5;
const perDay = 20;

/**
 * Limits wrong codes, which only whoever knows the password gets to try. Three codes of a million are right at a time, so
 * 20 attempts a day guess one in 1 of 17,000 days. A browser that the account has signed in with counts apart, and recovery
 * codes, which cannot be guessed, are not counted, so that the owner always comes in.
 */
export class CodeLimits {
  private readonly limiters = [
    new RateLimiterMemory({ points: perQuarterHour, duration: quarterHour_s }),
    new RateLimiterMemory({ points: perDay, duration: 86_400 }),
  ];

  /** Counts an attempt before its code is looked at, so that attempts at the same time count too. */
  async take(personId: number, device: string | null): Promise<void> {
    for (const limiter of this.limiters) {
      try {
        await limiter.consume(keyOf(personId, device));
      } catch (refused) {
        if (refused instanceof RateLimiterRes) throw new TooManyAttemptsError(refused.msBeforeNext / 1000);
        throw refused;
      }
    }
  }

  /** The code was right: it counts for nothing. */
  async succeeded(personId: number, device: string | null): Promise<void> {
    for (const limiter of this.limiters) await limiter.reward(keyOf(personId, device));
  }
}

const keyOf = (personId: number, device: string | null): string => `${personId} ${device ?? 'elsewhere'}`;
