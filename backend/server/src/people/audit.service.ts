import type { AuditRepository } from '../storage/people/audit.repository.js';

/** The log of who did what, for administrators to read. */
export class AuditService {
  constructor(private readonly audit: AuditRepository) {}

  async page(before: number | null, limit: number) {
    const found = await this.audit.page(before, limit + 1);
    const entries = found.slice(0, limit).map(({ id, at, who, action, subject, detail, address }) => ({
      ...{ id, who, action, subject, address },
      at: at.toISOString(),
      detail: detail as Record<string, unknown>,
    }));
    return { entries, next: found.length > limit ? (entries.at(-1)?.id ?? null) : null };
  }
}
