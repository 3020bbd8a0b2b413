import { describe, expect, it } from 'vitest';
import type { ModuleAssessment } from '../../../api/types.js';
import { moduleSentences } from './module-sentences.js';

const day_s = 86_400;
const unknown = {
  forecast: { state: 'refused' },
  proof: { state: 'unproven' },
  leakage: {
    state: 'unknown',
    floatCurrent_A: null,
    decayCurrent_A: null,
    limit_A: 0.003,
    timeToUnable_s: null,
  },
  weakCell: { state: 'unknown', cellsAffected: null },
  charger: { state: 'unknown', voltage_V: null, target_V: 20 },
  health: { state: 'stuck' },
  suddenChange: null,
} as unknown as ModuleAssessment;
const sentences = (known: object) => moduleSentences({ ...unknown, ...known }, 'si', 'UTC');

describe('what is known of a backup module beside its reserve', () => {
  it('says plainly what is not known', () => {
    expect(sentences({})).toEqual([
      'Its self-discharge is not known.',
      'Too little data to say whether a cell is weak.',
      'Too little data to say whether the charger reaches its voltage.',
      'Its health contact never changes, so it does not show whether the module is good.',
    ]);
  });
  it('names self-discharge with its limit and how long the module lasts without mains', () => {
    const leakage = {
      ...unknown.leakage,
      state: 'leaking',
      floatCurrent_A: 0.0045,
      timeToUnable_s: 3.3 * 3600,
    };
    expect(sentences({ leakage })).toContain(
      'Its self-discharge is too high: 4.50 mA, limit 3.00 mA; without mains it can still close for 3.3 h.',
    );
  });
  it('says where a forecast ends rather than that nothing will happen', () => {
    const forecast = {
      state: 'forecast',
      lossPerYear: { p10: 0.01, p50: 0.02, p90: 0.04 },
      horizon_s: Date.UTC(2031, 0, 1) / 1000,
      limits: [{ limit: 1, state: 'beyond-horizon', date_s: null, openEnded: false }],
    };
    const text = sentences({ forecast });
    expect(text).toContain('It loses 2 % of its stored energy a year (1 to 4 %).');
    expect(text).toContain(
      'It is not forecast to fall under 1.0 before 1 Jan 2031, where the forecast ends.',
    );
  });
  it('counts one test and one cell in the singular', () => {
    const text = sentences({
      suddenChange: { at_s: 3 * day_s, reserveRatio: 0.8, tests: 1 },
      weakCell: { state: 'suspected', cellsAffected: 1.2 },
    });
    expect(text[0]).toMatch(/confirmed by 1 test\.$/);
    expect(text).toContain('A weak cell is suspected (1 cell of the string).');
  });
});
