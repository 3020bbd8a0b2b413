import { describe, expect, it } from 'vitest';
import { assessModule } from '../assess-module.js';
import type { Range, ReserveForecast } from '../reserve/index.js';
import { reserveFindings } from './reserve-findings.js';
import { circuit, dailyTests, day_s, module, readings, start_s } from '../sample-modules.js';
import { defaultBackupSettings } from '../settings.js';

const days = 120;
const now_s = start_s + days * day_s;
const closings = dailyTests(days);
const sound = assessModule({
  module,
  circuits: [circuit],
  closings,
  readings: readings(now_s - 7 * day_s, 7 * 1440),
  now_s,
});

/** Conditions found where the reserve, well over 1.5 now, is forecast to fall under it in so many days. */
function found(days: Range, openEnded = false): string[] {
  const date_s: Range = {
    p10: now_s + days.p10 * day_s,
    p50: now_s + days.p50 * day_s,
    p90: now_s + days.p90 * day_s,
  };
  const forecast: ReserveForecast = {
    state: 'forecast',
    lossPerYear: { p10: 0.1, p50: 0.2, p90: 0.3 },
    limits: [
      { limit: 1.5, state: 'forecast', date_s, openEnded },
      { limit: 1, state: 'beyond-horizon', date_s: null, openEnded: true },
    ],
    horizon_s: now_s + 3650 * day_s,
    basedOn: [],
  };
  return reserveFindings({
    module,
    closings,
    now_s,
    settings: defaultBackupSettings,
    assessment: { ...sound, forecast },
    refrigerant: null,
  }).map(({ condition }) => condition);
}

describe('a module that will fall under 1.5', () => {
  it('is called fading once that is more likely than not within a year, and nine in ten within two', () => {
    expect(found({ p10: 200, p50: 300, p90: 700 })).toEqual(['reserve-fading']);
  });

  it('is not called fading while it may well be more than two years away', () => {
    expect(found({ p10: 200, p50: 300, p90: 750 })).toEqual([]);
    expect(found({ p10: 200, p50: 300, p90: 600 }, true)).toEqual([]);
  });

  it('is not called fading while more than a year away is the more likely', () => {
    expect(found({ p10: 300, p50: 380, p90: 500 })).toEqual([]);
  });
});
