import type { AuditRepository } from '../../storage/people/audit.repository.js';
import type { StoredPerson } from '../../storage/people/person.repository.js';
import type { SecondFactorRepository } from '../../storage/people/second-factor.repository.js';
import { BadEntryError } from '../bad-entry.js';
import type { CodeLimits } from './code-limits.js';
import { stepOfCode } from './one-time-password.js';
import { recoveryHashOf } from './recovery-codes.js';

export interface CodeCheckParts {
  secondFactors: SecondFactorRepository;
  audit: AuditRepository;
  limits: CodeLimits;
}

/** Looks at the codes that people type. */
export class CodeCheck {
  constructor(
    private readonly parts: CodeCheckParts,
    private readonly now_ms: () => number = Date.now,
  ) {}

  count(personId: number, device: string | null): Promise<void> {
    return this.parts.limits.take(personId, device);
  }

  uncount(personId: number, device: string | null): Promise<void> {
    return this.parts.limits.succeeded(personId, device);
  }

  /** Refuses a code that is not right; each is right once. Tells whether it was a recovery code. */
  async require(person: StoredPerson, typed: string, device: string | null): Promise<'code' | 'recovery'> {
    const { secondFactors } = this.parts;
    const recovery = recoveryHashOf(typed);
    if (recovery !== null && (await secondFactors.useRecoveryCode(person.id, recovery))) return 'recovery';
    await this.count(person.id, device);
    const factor = await secondFactors.of(person.id);
    const step =
      factor?.confirmed === true ? stepOfCode(factor.secret, typed.replace(/\s/g, ''), this.now_ms()) : null;
    if (step === null || !(await secondFactors.useStep(person.id, step)))
      throw new BadEntryError([{ name: 'code', reason: 'is not the present one, or was used already' }]);
    await this.uncount(person.id, device);
    return 'code';
  }
}
