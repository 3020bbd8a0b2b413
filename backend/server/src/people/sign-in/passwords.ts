import { type Algorithm, hash, verify } from '@node-rs/argon2';
import { dictionary } from '@zxcvbn-ts/language-common';
import { TooManyAttemptsError } from '../identity.js';

/** Argon2id with the first of the settings that the OWASP password storage cheat sheet (2024) recommends. */
const argon2id: Algorithm.Argon2id = 2;
const settings = { algorithm: argon2id, memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;
/** How a hash of these settings begins (PHC string format). */
const prefix = `$argon2id$v=19$m=${settings.memoryCost},t=${settings.timeCost},p=${settings.parallelism}$`;

/**
 * Hashing takes some 30 ms of a core each. One at a time, and few that wait, so that any number of attempts leaves the
 * processor to the pages; who finds the queue full is asked to come back.
 */
const mostWaiting = 20;

export class PasswordHasher {
  private waiting = 0;
  private last: Promise<unknown> = Promise.resolve();
  /** Compared with where there is no account, so that the time of the answer does not tell. */
  private readonly nobody = hash('no account has this password', settings);

  hash(password: string): Promise<string> {
    return this.inTurn(() => hash(password, settings));
  }

  /** @param stored null: there is no account, or it has no password; takes as long and is never right */
  verify(stored: string | null, password: string): Promise<boolean> {
    return this.inTurn(
      async () => (await verify(stored ?? (await this.nobody), password)) && stored !== null,
    );
  }

  /** Whether it was made with other settings than those of now, and is to be made anew once the password is typed. */
  isOld(stored: string): boolean {
    return !stored.startsWith(prefix);
  }

  private inTurn<Result>(work: () => Promise<Result>): Promise<Result> {
    if (this.waiting >= mostWaiting) return Promise.reject(new TooManyAttemptsError(5));
    this.waiting++;
    const mine = this.last.then(work).finally(() => this.waiting--);
    this.last = mine.catch(() => {});
    return mine;
  }
}

const shortest = 12;
const longest = 128;

/** Of the 49,000 most used passwords those that are long enough (the list of zxcvbn-ts, from published breaches). */
const mostUsed = new Set(dictionary.passwords.filter((password) => password.length >= shortest));

/** Why a password cannot be taken, or null. Length is what counts; composition is not prescribed. */
export function objectionTo(password: string, about: readonly (string | null)[]): string | null {
  if ([...password].length < shortest) return `must have at least ${shortest} characters`;
  if (password.length > longest) return `must have at most ${longest} characters`;
  if (new Set(password).size < 5) return 'must not repeat a few characters only';
  const lower = password.toLowerCase();
  if (mostUsed.has(lower)) return 'must not be one of the most used passwords';
  if (/^(0?1234567890?|abcdefghijkl|qwertyuiop)/.test(lower)) return 'must not be a row of the keyboard';
  const words = about.flatMap((text) => text?.toLowerCase().split(/[^\p{L}\p{N}]+/u) ?? []);
  const known = ['coldrounds', 'password', 'passwort', 'chiller', ...words].filter((word) => word.length > 3);
  const rest = known.reduce((text, word) => text.replaceAll(word, ''), lower);
  if ([...rest].length < 8) return 'must not be made of your name, your address or words like "password"';
  return null;
}
