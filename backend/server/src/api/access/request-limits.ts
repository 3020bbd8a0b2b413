import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible';
import { TooManyRequestsError, type Identity } from '../../people/identity.js';

/** A hundred a second for a minute: more than the pages of one person or a program ask for, and less than harms others. */
const perMinute = 6_000;

/** Limits the requests of each account, its tokens and sessions together. Who is at this machine is not limited. */
export class RequestLimits {
  private readonly limiter: RateLimiterMemory;

  constructor(points = perMinute) {
    this.limiter = new RateLimiterMemory({ points, duration: 60 });
  }

  async take({ personId, by }: Pick<Identity, 'personId' | 'by'>): Promise<void> {
    if (personId === null || by === 'demo') return;
    try {
      await this.limiter.consume(personId);
    } catch (refused) {
      if (refused instanceof RateLimiterRes) throw new TooManyRequestsError(refused.msBeforeNext / 1000);
      throw refused;
    }
  }
}
