import { describe, expect, it } from 'vitest';
import {
  heardWords,
  cameWords,
  clockWords,
  healthHeadline,
  latenessWords,
  repeatWords,
  shareWords,
  stepWords,
} from './health-words.js';

const totals = {
  ...{ units: 24, silent: 0, neverHeard: 0, incomplete: 0, catchingUp: 0 },
  ...{ expected: 100, missing: 0, received: 100, steps: 100, repeats: 0 },
};

describe('the data of a fleet in words', () => {
  it('say who is silent, who was never heard and of whom samples are missing', () => {
    expect(healthHeadline(totals)).toBe('Telemetry comes from every unit.');
    expect(healthHeadline({ ...totals, silent: 2, neverHeard: 1, incomplete: 5 })).toBe(
      '2 units send nothing, 1 was never heard, samples are missing from 3 units that send.',
    );
    expect(healthHeadline({ ...totals, incomplete: 1 })).toBe('Samples are missing from 1 unit that sends.');
    expect(healthHeadline({ ...totals, units: 0 })).toBe('There are no units yet.');
  });

  it('never call a part all or nothing', () => {
    expect([0, 0.0004, 0.25, 0.9995, 1].map(shareWords)).toEqual([
      '0 %',
      'under 0.1 %',
      '25.0 %',
      'over 99.9 %',
      '100 %',
    ]);
  });

  it('say of a message that brought history alone how old its newest sample is', () => {
    const asOf = '2026-05-01T16:25:00Z';
    const lastMessage = '2026-05-01T16:00:00Z';
    expect(heardWords({ lastMessage, newestReading: '2026-05-01T15:59:30Z' }, asOf)).toBe('25 min ago');
    expect(heardWords({ lastMessage, newestReading: '2026-05-01T06:25:00Z' }, asOf)).toBe(
      '25 min ago, with history: its newest sample is 10 h old',
    );
    expect(heardWords({ lastMessage: null, newestReading: null }, asOf)).toBe('none counted');
  });

  it('say how much of a unit came', () => {
    const unit = {
      ...{ neverHeard: false, silent: false, expected: 8640, missing: 0, lost: 0 },
      ...{ newestReading: '2026-05-01T10:00:00Z', asOf: '2026-05-01T16:00:00Z' },
    };
    expect(cameWords(unit)).toBe('complete');
    expect(cameWords({ ...unit, missing: 864, lost: 0.1 })).toBe('10.0 % missing');
    expect(cameWords({ ...unit, silent: true })).toBe('nothing for 6 h');
    expect(cameWords({ ...unit, expected: null })).toContain('not known');
    expect(cameWords({ ...unit, neverHeard: true, newestReading: null })).toBe('never heard');
  });

  it('say how late samples are, and how far a clock is off, as far as that is known', () => {
    expect(latenessWords({ latenessP50_s: 0.4, latenessP95_s: 12 })).toBe('under 1 s, 95 % within 12 s');
    expect(latenessWords({ latenessP50_s: -30, latenessP95_s: 2 })).toBe('30 s early, 95 % within 2.0 s');
    expect(latenessWords({ latenessP50_s: null, latenessP95_s: null })).toBe('not known');
    const clock = (offset_s: number, shifted = false) =>
      clockWords({ offset_s, from_s: offset_s, to_s: offset_s, hours: 24, shifted });
    expect(clock(0.3)).toBe('right to 5 s');
    expect(clock(-40)).toBe('at least 40 s ahead');
    expect(clock(40)).toBe('up to 40 s behind, or slow on its way');
    expect(clock(3600, true)).toBe('60 min behind, so all is taken for history');
    expect(clockWords(null)).toBe('not known');
    expect(repeatWords({ repeats: 0, steps: 0 })).toBe('none');
    expect(repeatWords({ repeats: 120, steps: 1200 })).toBe('10.0 % (120)');
  });

  it('give the step of a signal in the reader’s units', () => {
    expect(stepWords('suctionTemperature_K', 0.1, 'si')).toBe('0.10 K');
    expect(stepWords('suctionTemperature_K', 0.5, 'inch-pound')).toBe('0.90 °F');
    expect(stepWords('suctionPressure_Pa', 1000, 'si')).toBe('0.010 bar');
    expect(stepWords('valveOpening_pct', 0, 'si')).toBe('–');
    expect(stepWords('waterFlow_m3_s', 0.001, 'si')).toBe('3.6 m³/h');
    expect(stepWords('compressorPower_W', 500, 'si')).toBe('0.50 kW');
  });
});
