import { describe, expect, it } from 'vitest';
import { assessModule } from '../assess-module.js';
import type { ClosingJudgement } from '../closing/index.js';
import { circuit, closing, day_s, module, readings, start_s } from '../sample-modules.js';

/** Of the standard normal distribution. */
const z90 = 1.2816;
/** A full closing: (1 + 10 %) of 2000 steps at 400 steps/s and 8 W. */
const closing_J = 44;

/**
 * Energy at constant power from 20 V down to 9 V at the terminals: Simpson's rule on dE = C V dVc over the open
 * voltage Vc = V + P R / V, so that E = C * integral of (V - P R / V) dV.
 */
function usable_J(capacitance_F: number, esr_Ohm: number, power_W = 8): number {
  const top = (20 + Math.sqrt(400 - 4 * power_W * esr_Ohm)) / 2;
  const n = 2000;
  const h = (top - 9) / n;
  const f = (v: number) => capacitance_F * (v - (power_W * esr_Ohm) / v);
  let sum = 0;
  for (let i = 0; i < n; i++) sum += (h / 6) * (f(9 + i * h) + 4 * f(9 + (i + 0.5) * h) + f(9 + (i + 1) * h));
  return sum;
}

function reserveOf(days: number, of: (day: number) => Partial<ClosingJudgement>) {
  const now_s = start_s + (days - 1) * day_s + 3600;
  const { reserve } = assessModule({
    module,
    circuits: [circuit],
    closings: Array.from({ length: days }, (_, day) => closing(day, of(day))),
    readings: readings(now_s - 3600, 60),
    now_s,
  });
  if (reserve.state !== 'known') throw new Error('the reserve is not known');
  return reserve.cases.find(({ situation }) => situation === 'fully-open-coldest')!;
}

describe('the reserve now', () => {
  const unknownEsr = { esr_Ohm: null, esrUncertainty_Ohm: null };

  it('is usable energy over that of a closing: 1 F behind 0.5 Ohm at 8 W', () => {
    const { reserve, usableEnergy_J, closingEnergy_J } = reserveOf(60, () => ({}));
    expect(closingEnergy_J).toBeCloseTo(closing_J, 9);
    expect(usableEnergy_J).toBeCloseTo(usable_J(1, 0.5), 6);
    expect(reserve).toBeCloseTo(usable_J(1, 0.5) / closing_J, 6);
  });

  it('has at least 0.3 of the uncertainty of the last seven tests alone, however well a line fits', () => {
    // Tests whose scatter cannot be seen count as scattering by 1 %; a median of seven has 1.25 / sqrt(7) of that.
    const { reserve, interval } = reserveOf(60, () => unknownEsr);
    const relative = (0.3 * 0.01 * 1.25) / Math.sqrt(7);
    expect((interval.p90 - reserve) / (z90 * relative * reserve)).toBeCloseTo(1, 3);
  });

  it('has as P10 that of twice the rated ESR where ESR was never measured', () => {
    const { reserve, interval } = reserveOf(60, () => unknownEsr);
    const worst = usable_J(1, 2 * module.ratedEsr_Ohm) / closing_J;
    // Down from there by what P90 is up.
    expect(interval.p10).toBeCloseTo(worst - (interval.p90 - reserve), 6);
    expect(reserve - interval.p10).toBeGreaterThan(0.03 * reserve);
  });

  it('has the uncertainty of a measured ESR in it: 2 % of 0.5 Ohm, the same in all tests', () => {
    const { reserve, interval } = reserveOf(60, () => ({ esrUncertainty_Ohm: 0.01 }));
    const byEsr = (usable_J(1, 0.5) - usable_J(1, 0.51)) / closing_J;
    const byCapacitance = ((0.3 * 0.01 * 1.25) / Math.sqrt(7)) * reserve;
    expect((interval.p90 - reserve) / (z90 * Math.hypot(byEsr, byCapacitance))).toBeCloseTo(1, 4);
    expect(interval.p90 - reserve).toBeCloseTo(reserve - interval.p10, 9);
  });

  it('takes that from the tests that say how sure their ESR is', () => {
    const interval = (of: (day: number) => Partial<ClosingJudgement>) => reserveOf(60, of).interval;
    const all = interval(() => ({ esrUncertainty_Ohm: 0.01 }));
    const half = interval((day) => ({ esrUncertainty_Ohm: day % 2 === 0 ? 0.01 : null }));
    expect(half.p90).toBeCloseTo(all.p90, 9);
  });

  it('has its uncertainty in farads: 2 % of each of four tests of 0.8 F', () => {
    const { capacitance_F, capacitanceUncertainty_F } = assessModule({
      module,
      circuits: [circuit],
      closings: [0, 1, 2, 3].map((day) => closing(day, { ...unknownEsr, capacitance_F: 0.8 })),
      readings: readings(start_s + 3 * day_s, 60),
      now_s: start_s + 3 * day_s + 3600,
    });
    expect(capacitance_F).toBeCloseTo(0.8, 9);
    expect(capacitanceUncertainty_F).toBeCloseTo(0.8 * 0.02 * 1.25 * 0.5, 9);
  });

  it('begins at the voltage of the readings, else before the last five closings, else at the rated one', () => {
    const voltage = (minutes: number, before_V: (day: number) => number | null) => {
      const { reserve } = assessModule({
        module,
        circuits: [circuit],
        closings: Array.from({ length: 9 }, (_, day) => closing(day, { voltageBefore_V: before_V(day) })),
        readings: readings(start_s + 8 * day_s, minutes, () => ({ voltage_V: 19 })),
        now_s: start_s + 8 * day_s + 3600,
      });
      return reserve.state === 'known' ? reserve.cases[0]!.voltage_V : null;
    };
    expect(voltage(60, () => 18)).toBe(19);
    expect(voltage(0, (day) => (day < 4 ? 15 : 18))).toBe(18);
    expect(voltage(0, (day) => (day < 4 ? 15 : null))).toBe(20);
  });

  it('is at the lowest temperature of tests and readings', () => {
    const coldest = (test_K: number, reading_K: number) =>
      assessModule({
        module,
        circuits: [circuit],
        closings: [0, 1, 2, 3].map((day) => closing(day, { temperature_K: test_K + day })),
        readings: readings(start_s + 3 * day_s, 60, () => ({ temperature_K: reading_K })),
        now_s: start_s + 3 * day_s + 3600,
      }).reserve;
    const at = (...of: Parameters<typeof coldest>) => {
      const reserve = coldest(...of);
      return reserve.state === 'known' ? reserve.cases[0]!.temperature_K : null;
    };
    expect(at(290, 270)).toBe(270);
    expect(at(290, 300)).toBe(290);
    expect(at(290, NaN)).toBe(290);
  });

  it('has the ESR of the temperature that each case is for: 0.8 % less per K before another law is learned', () => {
    const { reserve } = assessModule({
      module,
      circuits: [circuit],
      closings: [0, 1, 2, 3].map((day) => closing(day, { temperature_K: 298.15 })),
      readings: readings(start_s + 3 * day_s, 60, () => ({ temperature_K: 288.15 })),
      now_s: start_s + 3 * day_s + 3600,
      presentOpening_pct: null,
    });
    if (reserve.state !== 'known') throw new Error('the reserve is not known');
    const cold = reserve.cases.find(({ situation }) => situation === 'fully-open-coldest')!;
    // 10 K colder than the tests; -0.008 per K and 0.001 per K (common practice, no source).
    expect(cold.temperature_K).toBe(288.15);
    expect(cold.esr_Ohm).toBeCloseTo(0.5 * Math.exp(0.08), 9);
    expect(cold.capacitance_F).toBeCloseTo(Math.exp(-0.01), 9);
    const warmer = assessModule({
      module,
      circuits: [circuit],
      closings: [0, 1, 2, 3].map((day) => closing(day, { temperature_K: 298.15 })),
      readings: readings(start_s + 3 * day_s, 60, (minute) => ({
        temperature_K: minute < 30 ? 288.15 : 308.15,
      })),
      now_s: start_s + 3 * day_s + 3600,
    }).reserve;
    if (warmer.state !== 'known') throw new Error('the reserve is not known');
    const now = warmer.cases.find(({ situation }) => situation === 'fully-open-now')!;
    expect(now.temperature_K).toBe(308.15);
    expect(now.esr_Ohm).toBeCloseTo(0.5 * Math.exp(-0.08), 9);
  });

  it('is less certain after a sudden change, by the size of the change and the weight of the tests before it', () => {
    const relative = (of: (day: number) => Partial<ClosingJudgement>) => {
      const { reserve, interval } = reserveOf(40, (day) => ({ ...unknownEsr, ...of(day) }));
      return (interval.p90 - reserve) / reserve / z90;
    };
    const even = relative(() => ({}));
    const stepped = relative((day) => ({ capacitance_F: day < 33 ? 1 : 0.8 }));
    // Tests that scatter by 1 %: the step is known to 0.01 root(1.57 / 7 + 1 / 28 + 17.5^2 / 1827) = 0.0065. The value of a
    // line at the last of 20 pairs weighs the first 16.5 by 0.825 - 9.5 (120 - 9.5 x 16 + 3.25) / 665, about 0.49: 0.0032,
    // against the 0.0014 that even tests have.
    expect(even).toBeCloseTo((0.3 * 0.01 * 1.25) / Math.sqrt(7), 6);
    expect(stepped).toBeGreaterThan(0.002);
    expect(stepped).toBeLessThan(0.0045);
  });

  it('is the median of the last tests, 2 % uncertain each, where there are four', () => {
    const levels = [1, 1.002, 0.998, 1.001];
    const { reserve, interval, capacitance_F } = reserveOf(4, (day) => ({
      ...unknownEsr,
      capacitance_F: levels[day],
    }));
    expect(capacitance_F).toBeCloseTo(1.0005, 9);
    expect((interval.p90 - reserve) / (z90 * 0.02 * 1.25 * 0.5 * reserve)).toBeCloseTo(1, 6);
  });
});
