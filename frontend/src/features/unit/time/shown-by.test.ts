import { describe, expect, it } from 'vitest';
import { shownBy } from './shown-by.js';

describe('the stretch of time that shows a finding', () => {
  it('is that of the swing, with a quarter of it to each side', () => {
    const swing = {
      kind: 'swing' as const,
      circuit: 1,
      time_s: [10_000, 11_200],
      superheat_K: [1, 2],
      valveOpening_pct: [1, 2],
      cycles: [],
      period_s: null,
      amplitude_K: null,
      floodbackLimit_K: 2,
    };
    expect(shownBy(swing)).toEqual({ from_s: 9_700, to_s: 11_500 });
    expect(shownBy({ ...swing, time_s: [] })).toBeNull();
  });
  it('is the loss of mains, up to an hour where its end was not seen', () => {
    const loss = {
      kind: 'power-loss' as const,
      module: 1,
      from_s: 10_000,
      to_s: null,
      circuit: 1,
      time_s: [],
      superheat_K: [],
      valveOpening_pct: [],
      floodbackLimit_K: 2,
      restartAt_s: null,
      restartLowest_K: null,
      moduleTime_s: [],
      voltage_V: [],
    };
    expect(shownBy(loss)).toEqual({ from_s: 9_100, to_s: 14_500 });
  });
  it('is none for what is said of weeks', () => {
    expect(shownBy({ kind: 'none', reason: '' })).toBeNull();
  });
});
