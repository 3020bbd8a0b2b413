import { describe, expect, it } from 'vitest';
import type { ClosingTrace, JudgeClosingInput } from './closing-judgement.js';
import { BackupInputError } from '../errors.js';
import { judgeClosing } from './judge-closing.js';
import { circuit, module, start_s, trace } from '../sample-modules.js';

const judge = (of: ClosingTrace, changed: Partial<JudgeClosingInput> = {}) =>
  judgeClosing({
    trace: of,
    module,
    circuits: [circuit],
    temperature_K: 298.15,
    startedAt_s: start_s,
    mains: 1,
    ...changed,
  });

describe('a closing with voltage, current and opening', () => {
  const judged = judge(trace());

  it('gives capacitance and ESR with an uncertainty that holds the true values', () => {
    expect(Math.abs(judged.capacitance_F! - 2)).toBeLessThan(0.02);
    expect(judged.capacitanceUncertainty_F).toBeGreaterThan(0);
    expect(Math.abs(judged.esr_Ohm! - 0.5)).toBeLessThan(0.025);
    expect(Math.abs(judged.esr_Ohm! - 0.5)).toBeLessThan(2 * judged.esrUncertainty_Ohm!);
  });

  it('gives the energy taken: the integral of (19.5 - t/2) V at 1 A over 5 s, 91.25 J by hand', () => {
    expect(Math.abs(judged.energyUsed_J! / 91.25 - 1)).toBeLessThan(0.015);
    expect(Math.abs(judged.driveTime_s! - 5)).toBeLessThan(0.06);
    expect(Math.abs(judged.drivePower_W! / 18.25 - 1)).toBeLessThan(0.01);
  });

  it('lets the drive begin and end half-way between a sample at rest and one that drives', () => {
    // Every 0.5 s, current in the samples from 0 to 5 s: 5.5 s at the mean power of 18.25 W.
    const coarse = judge(trace({ step_s: 0.5 }));
    expect(coarse.driveTime_s).toBeCloseTo(5.5, 9);
    expect(coarse.drivePower_W).toBeCloseTo(18.25, 9);
    expect(coarse.energyUsed_J).toBeCloseTo(5.5 * 18.25, 9);
  });

  it('does not count half of a gap as drive: after the last driving sample at most half of a usual spacing', () => {
    const fine = trace({ step_s: 0.5 });
    const kept = (column: ArrayLike<number | null>) =>
      Array.from(column).filter((_, i) => fine.time_s[i]! <= 5 || fine.time_s[i]! > 6.9);
    const gappy = judge({
      time_s: kept(fine.time_s) as number[],
      voltage_V: kept(fine.voltage_V) as number[],
      current_A: kept(fine.current_A),
      valveOpening_pct: kept(fine.valveOpening_pct) as number[],
    });
    expect(gappy.driveTime_s).toBeCloseTo(5.5, 9);
  });

  it('gives voltage before, lowest and after', () => {
    expect(judged.voltageBefore_V).toBe(20);
    expect(judged.voltageLowest_V).toBeCloseTo(17, 9);
    expect(judged.voltageAfter_V).toBeCloseTo(17.5, 9);
  });

  it('sees the valve shut after five seconds, which proves the module', () => {
    expect(judged.shut).toBe(true);
    expect(judged.proof).toBe(true);
    expect(judged.openingBefore_pct).toBe(50);
    expect(judged.openingAfter_pct).toBe(0);
    expect(Math.abs(judged.timeToShut_s! - 5)).toBeLessThan(0.11);
    expect(judged.limits).toEqual([]);
  });

  it('gives what it should have needed: (50 + 10) % of 2000 steps at 400 steps/s and 8 W, 24 J by hand', () => {
    expect(judged.energyExpected_J).toBeCloseTo(24, 9);
  });
});

describe('what a closing does not show', () => {
  it('is no proof where the valve stays part open', () => {
    const judged = judge(trace({ pct_s: 4 }));
    expect(judged).toMatchObject({ shut: false, proof: false, timeToShut_s: null });
    expect(judged.openingAfter_pct).toBeCloseTo(30, 9);
  });

  it('is capacitance, ESR and energy where no current was sent, though the valve is still seen to shut', () => {
    const judged = judge(trace({ withCurrent: false }));
    expect(judged).toMatchObject({
      capacitance_F: null,
      esr_Ohm: null,
      energyUsed_J: null,
      shut: true,
      proof: true,
    });
    expect(judged.limits[0]!.text).toMatch(/No current was sent/);
  });

  it('is whether the valve shut where no opening was sent', () => {
    const { time_s, voltage_V, current_A } = trace();
    const judged = judge({ time_s, voltage_V, current_A, valveOpening_pct: Array.from(time_s, () => NaN) });
    expect(judged).toMatchObject({
      shut: null,
      proof: false,
      openingBefore_pct: null,
      energyExpected_J: null,
    });
    expect(judged.capacitance_F).not.toBeNull();
    expect(judged.limits.map(({ text }) => text)).toEqual([
      expect.stringMatching(/No valve opening was sent/),
    ]);
  });

  it('is that the module delivered anything where, without a current, its voltage fell by 1 % of the rated one at most', () => {
    const { time_s, current_A, valveOpening_pct } = trace({ withCurrent: false });
    const falling = (by_V: number) =>
      judge({
        time_s,
        current_A,
        valveOpening_pct,
        voltage_V: Array.from(time_s, (t) => (t > 1 ? 20 - by_V : 20)),
      });
    // 20 V: 0.2 V.
    expect(falling(0.21)).toMatchObject({ shut: true, proof: true });
    expect(falling(0.19)).toMatchObject({ shut: true, proof: false });
    expect(
      falling(0.19)
        .limits.map(({ text }) => text)
        .join(),
    ).not.toMatch(/hardly moved/);
  });

  it('is capacitance where the discharge is too shallow', () => {
    const { time_s, current_A, valveOpening_pct } = trace();
    const judged = judge({ time_s, current_A, valveOpening_pct, voltage_V: Array.from(time_s, () => 20) });
    expect(judged.capacitance_F).toBeNull();
    expect(judged.limits.map(({ text }) => text)).toEqual([
      expect.stringMatching(/too short or too shallow/),
    ]);
  });

  it('is anything wrong at one sample in two seconds, a little more of which is too coarse to prove anything', () => {
    expect(judge(trace({ step_s: 2 })).proof).toBe(true);
    const coarse = judge(trace({ step_s: 2.1 }));
    expect(coarse.proof).toBe(false);
    const said = coarse.limits.find(({ text }) => /too coarse to follow/.test(text))!;
    expect(said.quantities.sampling!.value).toBeCloseTo(2.1, 9);
  });

  it('is a failure or a proof where samples are 2.5 s apart', () => {
    expect(judge(trace({ pct_s: 4, step_s: 2.5 })).shut).toBeNull();
    expect(judge(trace({ step_s: 2.5 })).proof).toBe(false);
  });

  it('is ESR at one sample a second', () => {
    const judged = judge(trace({ step_s: 1 }));
    expect(judged.esr_Ohm).toBeNull();
    expect(judged.limits.map(({ text }) => text)).toEqual([expect.stringMatching(/^No ESR/)]);
    expect(judged.limits[0]!.quantities.sampling!.value).toBeCloseTo(1, 9);
  });

  it('is anything about the valve where it stood shut all the time', () => {
    const { time_s, voltage_V, current_A } = trace();
    const judged = judge({ time_s, voltage_V, current_A, valveOpening_pct: Array.from(time_s, () => 0) });
    expect(judged).toMatchObject({ shut: true, proof: false });
    expect(judged.limits.map(({ text }) => text).join()).toMatch(/hardly moved/);
  });
});

describe('the kind of a closing', () => {
  it('is a power loss only where the mains contact was seen gone', () => {
    expect(judge(trace(), { mains: 0 })).toMatchObject({ kind: 'power-loss', kindSeen: true });
    expect(judge(trace(), { mains: 1 })).toMatchObject({ kind: 'self-test', kindSeen: true });
    expect(judge(trace(), { mains: null })).toMatchObject({ kind: 'self-test', kindSeen: false });
  });
});

describe('bad input', () => {
  it('is refused, naming the argument', () => {
    const good = trace();
    const caught = (of: () => unknown) => {
      try {
        of();
      } catch (error) {
        return error instanceof BackupInputError ? error.argument : error;
      }
      return null;
    };
    expect(caught(() => judge({ ...good, current_A: [1] }))).toBe('trace.current_A');
    expect(caught(() => judge({ ...good, time_s: Array.from(good.time_s).reverse() }))).toBe('trace.time_s');
    expect(caught(() => judge(good, { circuits: [] }))).toBe('circuits');
  });
});
