import { userOf } from '../site-topics.js';

/** A key as brokers need it. */
export interface HandedKey {
  user: string;
  site: string;
  /** Null: revoked. */
  hash: string | null;
}

export const handedKey = (stored: { site: string; number: number; hash: string | null }): HandedKey => ({
  user: userOf(stored.site, stored.number),
  site: stored.site,
  hash: stored.hash,
});
