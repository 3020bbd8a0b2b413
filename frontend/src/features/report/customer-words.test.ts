import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { SiteReport } from '../../api/decisions/report.js';
import { causeForCustomer, outcomeForCustomer, planForCustomer, toldOnce } from './customer-words.js';

const { components } = JSON.parse(
  readFileSync(new URL('../../../../backend/server/openapi.json', import.meta.url), 'utf8'),
) as { components: { schemas: { Cause: { enum: SiteReport['found'][number]['cause'][] } } } };

/** Words of the trade that an owner of a building need not know. */
const jargon =
  /superheat|subcool|hunting|floodback|setpoint|approach|capacitance|ESR|telemetry|loop|gain|stroke|non-condensable|plateau/i;

describe('a report in the words of its reader', () => {
  it('has a sentence for every cause, without words of the trade', () => {
    for (const cause of components.schemas.Cause.enum) {
      const words = causeForCustomer(cause);
      expect(words, cause).toMatch(/^[A-Z].*\.$/);
      expect(words, cause).not.toMatch(jargon);
    }
  });

  it('says what happens next with what is open, and nothing of what is over', () => {
    const found = (plan: object | null, endedAt: string | null = null) =>
      ({ plan, endedAt }) as SiteReport['found'][number];
    const day = (of: string) => `the day ${of}`;
    expect(planForCustomer(found(null), day)).toBe('No visit is planned yet.');
    expect(planForCustomer(found({ kind: 'handed-over', due: '2026-12-03', back: false }), day)).toBe(
      'A visit is planned by the day 2026-12-03.',
    );
    expect(planForCustomer(found({ kind: 'put-off', due: null, back: false }), day)).toMatch(/gets worse/);
    expect(planForCustomer(found({ kind: 'put-off', due: null, back: true }), day)).toMatch(/again/);
    expect(planForCustomer(found(null, '2026-11-01T00:00:00Z'), day)).toBe('');
  });

  it('says the same of several parts of a machine once, with their number', () => {
    const told = [
      { name: 'Chiller 1', words: 'Too cold.', cautions: [] },
      { name: 'Chiller 2', words: 'Too cold.', cautions: [] },
      { name: 'Chiller 1', words: 'Too cold.', cautions: [] },
      { name: 'Chiller 1', words: 'Too cold.', cautions: ['Ventilate.'] },
    ];
    expect(toldOnce(told)).toEqual([
      { name: 'Chiller 1', words: 'Too cold.', cautions: [], times: 2 },
      { name: 'Chiller 2', words: 'Too cold.', cautions: [], times: 1 },
      { name: 'Chiller 1', words: 'Too cold.', cautions: ['Ventilate.'], times: 1 },
    ]);
  });

  it('does not call right what is not known to be', () => {
    const visit = (outcome: SiteReport['visits'][number]['outcome']) =>
      outcomeForCustomer({ outcome } as SiteReport['visits'][number]);
    expect(visit({ kind: 'watching' })).toMatch(/watching/);
    expect(visit({ kind: 'gone', since_s: 0 })).toMatch(/right since/);
    expect(visit({ kind: 'unchanged', since_s: 0 })).toMatch(/not better/);
    expect(visit({ kind: 'came-back', after_s: 3 * 86_400 })).toMatch(/came back after 3 days/);
  });
});
