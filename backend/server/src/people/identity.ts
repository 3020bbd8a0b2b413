import { abilitiesOf, type Ability, type PersonRole } from './roles.js';

/** Who asks, and what they may. */
export interface Identity {
  /** Null: nobody by name, but somebody at this machine before there are accounts. */
  personId: number | null;
  name: string;
  role: PersonRole;
  /** Keys of the sites that this person is limited to; null: all. */
  sites: readonly string[] | null;
  abilities: ReadonlySet<Ability>;
  /** `needed`: the role needs one, the account has none yet, and until it has, nothing else can be done. */
  secondFactor: 'none' | 'on' | 'needed';
  by: 'session' | 'token' | 'demo' | 'this-machine';
}

/** Before the first account is made, whoever sits at the machine may read, as was always so, and change nothing. */
export const somebodyAtThisMachine: Identity = {
  personId: null,
  name: 'somebody at this machine',
  role: 'reader',
  sites: null,
  abilities: abilitiesOf('reader'),
  secondFactor: 'none',
  by: 'this-machine',
};

export const seesSite = ({ sites }: Pick<Identity, 'sites'>, key: string): boolean =>
  sites === null || sites.includes(key);

/** Of a unit named `{site key}/{unit key}`. */
export const seesUnit = (identity: Pick<Identity, 'sites'>, name: string): boolean =>
  seesSite(identity, name.slice(0, name.indexOf('/')));

/** The person behind an identity, where there has to be one. */
export function personOf({ personId }: Identity): number {
  if (personId === null)
    throw new NotAllowedError('This needs an account. Open the one-time link that the server printed.');
  return personId;
}

/** Nobody is signed in, or the session or token is not valid (any more). */
export class NotSignedInError extends Error {
  override name = 'NotSignedInError';
}

/** The password was right; now the code of the second factor is asked for. */
export class SecondFactorAskedError extends NotSignedInError {
  override name = 'SecondFactorAskedError';
}

/** The person is known and may not do this. */
export class NotAllowedError extends Error {
  override name = 'NotAllowedError';
}

/** More requests than any page or program of ours makes. */
export class TooManyRequestsError extends Error {
  override name = 'TooManyRequestsError';
  constructor(readonly wait_s: number) {
    super(`Too many requests. Ask again in ${Math.max(1, Math.ceil(wait_s))} s.`);
  }
}

/** Too many attempts; the next may be made after a while. */
export class TooManyAttemptsError extends Error {
  override name = 'TooManyAttemptsError';
  constructor(readonly wait_s: number) {
    super(`Too many attempts. Try again in ${Math.max(1, Math.ceil(wait_s))} s.`);
  }
}
