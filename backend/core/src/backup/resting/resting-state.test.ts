import { describe, expect, it } from 'vitest';
import { closingDemand } from '../closing/index.js';
import { assessCharger, assessLeakage, assessWeakCell } from './resting-state.js';
import { circuit, day_s, module, start_s } from '../sample-modules.js';
import { defaultBackupSettings as settings } from '../settings.js';
import type { OpenCircuitDecay, RestingFigures } from './module-readings.js';

const now_s = start_s + 2 * day_s;
const figures = (changed: Partial<RestingFigures> = {}): RestingFigures => ({
  chargedVoltage_V: 20,
  mainsSince_s: start_s,
  floatCurrent_A: 0.0002,
  lowestTemperature_K: 298.15,
  temperatureNow_K: 298.15,
  samples: 2880,
  ...changed,
});
const decay = (changed: Partial<OpenCircuitDecay> = {}): OpenCircuitDecay => ({
  rate_V_s: 1e-4,
  early_V_s: 1e-4,
  late_V_s: 1e-4,
  fall_V: 0.6,
  from_V: 18,
  duration_s: 6000,
  drawn_A: 0,
  ...changed,
});

describe('the charger', () => {
  const state = (changed: Partial<RestingFigures>) =>
    assessCharger(module, figures(changed), now_s, settings).state;
  it('reaches its voltage down to 5 % under the rated one, and not below', () => {
    expect(state({ chargedVoltage_V: 19.1 })).toBe('reaches');
    expect(state({ chargedVoltage_V: 18.9 })).toBe('under-voltage');
  });
  it('is not judged within six hours of the mains coming back, nor without a voltage', () => {
    expect(state({ chargedVoltage_V: 12, mainsSince_s: now_s - 3600 })).toBe('unknown');
    expect(state({ chargedVoltage_V: 12, mainsSince_s: null })).toBe('unknown');
    expect(state({ chargedVoltage_V: null })).toBe('unknown');
  });
});

describe('leakage', () => {
  const assess = (changed: Partial<RestingFigures>, seen: OpenCircuitDecay | null = null) =>
    assessLeakage({
      module,
      figures: figures(changed),
      decay: seen,
      capacitance_F: 1,
      esr_Ohm: 0,
      demand: closingDemand(module, [circuit], 100),
      settings,
    });

  it('is C dV/dt: 1 F falling by 0.1 mV/s leaks 0.1 mA, less what was drawn meanwhile', () => {
    expect(assess({}, decay()).decayCurrent_A).toBeCloseTo(1e-4, 12);
    expect(assess({}, decay({ rate_V_s: 3e-3, drawn_A: 2e-3 })).decayCurrent_A).toBeCloseTo(1e-3, 12);
  });

  it('is too much over 1.5 mA per farad, by float current or by decay, and twice that is allowed 10 K warmer', () => {
    expect(assess({ floatCurrent_A: 0.0014 }).state).toBe('normal');
    expect(assess({ floatCurrent_A: 0.0016 }).state).toBe('leaking');
    expect(assess({}, decay({ rate_V_s: 0.002 })).state).toBe('leaking');
    expect(assess({ floatCurrent_A: 0.0029, temperatureNow_K: 308.15 }).state).toBe('normal');
    expect(assess({ floatCurrent_A: null }).state).toBe('unknown');
  });

  it('leaves time until less than 44 J are left: from 20 V to sqrt(81 + 2*44/1) V by hand at no ESR', () => {
    const left_s = (20 - Math.sqrt(81 + 88)) / 0.002;
    expect(assess({ floatCurrent_A: 0.002 }).timeToUnable_s! / left_s).toBeCloseTo(1, 6);
    expect(assess({ floatCurrent_A: 0.002, chargedVoltage_V: 12 }).timeToUnable_s).toBeNull();
  });
});

describe('one cell of eight in series', () => {
  const step = (ratio: number) => ({ index: 100, size: Math.log(ratio), uncertainty: 0.002, tests: 20 });
  const assess = (changed: Partial<Parameters<typeof assessWeakCell>[0]>) =>
    assessWeakCell({
      cellsInSeries: 8,
      capacitanceStep: null,
      esrStep: 0,
      scatter: 0.005,
      decay: null,
      tests: 120,
      ...changed,
    });

  it('shorted makes capacitance 8/7 of what it was', () => {
    expect(assess({ capacitanceStep: step(8 / 7) })).toMatchObject({
      sign: 'shorted-cell',
      cellsAffected: 1,
    });
    expect(assess({ capacitanceStep: step(8 / 6) })).toMatchObject({
      sign: 'shorted-cell',
      cellsAffected: 2,
    });
    expect(assess({ capacitanceStep: step(1.07) }).state).toBe('none-seen');
  });

  it('that lost half its capacitance makes that of the string 8/9, with hardly more ESR', () => {
    expect(assess({ capacitanceStep: step(8 / 9) }).sign).toBe('lost-cell-capacitance');
    expect(assess({ capacitanceStep: step(8 / 9), esrStep: 0.5 }).state).toBe('none-seen');
    expect(assess({ capacitanceStep: step(8 / 9), esrStep: null }).state).toBe('none-seen');
  });

  it('that leaks lets the voltage fall by that of one cell and then hardly further', () => {
    const one = decay({ early_V_s: 1e-3, late_V_s: 1e-5, fall_V: 2.2, from_V: 18 });
    expect(assess({ decay: one }).sign).toBe('decay-stops-after-one-cell');
    expect(assess({ decay: decay() }).state).toBe('none-seen');
  });

  it('is unknown with neither a test nor a decay, and not judged in a module of one cell', () => {
    expect(assess({ tests: 0 }).state).toBe('unknown');
    expect(assess({ cellsInSeries: 1, capacitanceStep: step(0.5) }).state).toBe('none-seen');
  });
});
