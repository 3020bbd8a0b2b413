import { describe, expect, it } from 'vitest';
import { BackupInputError } from '../errors.js';
import { circuit, module, start_s, trace } from '../sample-modules.js';
import type { ClosingTrace } from './closing-judgement.js';
import { estimateCapacitor } from './capacitor/index.js';
import { judgeClosing } from './judge-closing.js';
import { travelFigures } from './trace-figures.js';

const judge = (of: ClosingTrace) =>
  judgeClosing({
    trace: of,
    module,
    circuits: [circuit],
    temperature_K: 298.15,
    startedAt_s: start_s,
    mains: 1,
  });
/** The rows of a closing that fulfil a test. */
function rows(keep: (time_s: number, i: number) => boolean, of = trace()): ClosingTrace {
  const kept = Array.from(of.time_s, (t, i) => [t, i] as const).filter(([t, i]) => keep(t, i));
  const column = <T>(from: ArrayLike<T>) => kept.map(([, i]) => from[i]!);
  return {
    time_s: column(of.time_s),
    voltage_V: column(of.voltage_V),
    current_A: column(of.current_A),
    valveOpening_pct: column(of.valveOpening_pct),
  };
}
const withColumn = (change: Partial<ClosingTrace>): ClosingTrace => ({ ...trace(), ...change });

describe('the rows of a closing that are used', () => {
  it('are those with a current, where at least half have one', () => {
    const some = (every: number) =>
      withColumn({ current_A: Array.from(trace().current_A, (value, i) => (i % every ? value : null)) });
    expect(judge(some(3)).capacitance_F!).toBeCloseTo(2, 1);
    const few = withColumn({
      current_A: Array.from(trace().current_A, (value, i) => (i % 3 ? null : value)),
    });
    expect(judge(few).capacitance_F).toBeNull();
    expect(judge(few).voltageLowest_V).toBeCloseTo(17, 9);
  });

  it('are refused by name where columns are unequal, times out of order or not finite', () => {
    expect(() => judge(withColumn({ voltage_V: [20] }))).toThrow(/trace\.voltage_V/);
    expect(() => judge(withColumn({ valveOpening_pct: [20] }))).toThrow(/trace\.valveOpening_pct/);
    const twice = Array.from(trace().time_s);
    twice[3] = twice[2]!;
    expect(() => judge(withColumn({ time_s: twice }))).toThrow(BackupInputError);
    const missing = Array.from(trace().time_s);
    missing[3] = NaN;
    expect(() => judge(withColumn({ time_s: missing }))).toThrow(/finite/);
  });
});

describe('the voltages of a closing', () => {
  it('after it are the last within ten seconds, before recharging', () => {
    const of = trace();
    const time_s = [...Array.from(of.time_s), 14.9, 15.1, 100];
    const add = <T>(from: ArrayLike<T>, value: T) => [...Array.from(from), value, value, value];
    const recharged: ClosingTrace = {
      time_s,
      voltage_V: [...Array.from(of.voltage_V), 17.52, 17.9, 20],
      current_A: add(of.current_A, 0),
      valveOpening_pct: add(of.valveOpening_pct, 0),
    };
    // The drive ends at 5 s.
    expect(judge(recharged).voltageAfter_V).toBe(17.52);
    expect(judge(recharged).voltageLowest_V).toBeCloseTo(17, 9);
  });

  it('after it are those of its last sample where nothing was sampled after it', () => {
    // 5 s at 1 A from 2 F: 20 V less 2.5 V, less 0.5 V over the ESR.
    const whole = trace();
    const cut = Object.fromEntries(
      Object.entries(whole).map(([name, column]) => [name, Array.from(column).slice(0, 111)]),
    ) as unknown as ClosingTrace;
    const judged = judgeClosing({
      trace: cut,
      module,
      circuits: [circuit],
      temperature_K: null,
      startedAt_s: start_s,
      mains: 1,
    });
    expect(judged.voltageAfter_V).toBeCloseTo(17, 9);
  });

  it('are null without any', () => {
    const none = judge(withColumn({ voltage_V: Array.from(trace().time_s, () => NaN) }));
    expect(none).toMatchObject({
      voltageBefore_V: null,
      voltageAfter_V: null,
      voltageLowest_V: null,
      capacitance_F: null,
    });
  });

  it('before it are those at its beginning where it has no lead', () => {
    const late = judge(rows((t) => t >= 0));
    expect(late.voltageBefore_V).toBeCloseTo(19.5, 9);
  });
});

describe('the travel of a closing', () => {
  it('takes as long as from the move to the seat', () => {
    // From 50 % by 20 % a second: shut after 2.475 s, to a sample.
    expect(Math.abs(judge(trace({ pct_s: 20 })).timeToShut_s! - 2.5)).toBeLessThan(0.11);
    const still = trace({ pct_s: 20 });
    // It first moves 2 s after the drive began.
    const late = withColumn({
      valveOpening_pct: Array.from(still.time_s, (t) => Math.max(0, 50 - 20 * Math.max(0, t - 2))),
    });
    expect(Math.abs(judge(late).timeToShut_s! - 2.5)).toBeLessThan(0.11);
  });

  it('begins with the first sample where the valve moves at once, and is none for one that was shut', () => {
    const moving = (...valveOpening_pct: number[]) =>
      travelFigures({
        time_s: valveOpening_pct.map((_, i) => i),
        voltage_V: valveOpening_pct.map(() => 20),
        current_A: valveOpening_pct.map(() => 1),
        valveOpening_pct,
      });
    expect(moving(50, 25, 0).timeToShut_s).toBe(2);
    expect(moving(50, 50, 25, 0).timeToShut_s).toBe(2);
    expect(moving(50, 49.8, 25, 0).timeToShut_s).toBe(2);
    expect(moving(50, 49.7, 25, 0).timeToShut_s).toBe(3);
    expect(moving(0.5, 0, 0).timeToShut_s).toBeNull();
    expect(moving(50, 40, 30).timeToShut_s).toBeNull();
    expect(moving(50, 25, 0).sampling_s).toBe(1);
  });

  it('ends shut at half a percent, and not above', () => {
    const ending = (at_pct: number) =>
      judge(withColumn({ valveOpening_pct: Array.from(trace().time_s, (t) => (t < 3 ? 50 : at_pct)) })).shut;
    expect([ending(0.5), ending(0.51)]).toEqual([true, false]);
  });

  it('is not told by a single opening', () => {
    const once = Array.from(trace().time_s, (_, i) => (i === 4 ? 50 : NaN));
    expect(judge(withColumn({ valveOpening_pct: once }))).toMatchObject({
      openingBefore_pct: 50,
      openingAfter_pct: null,
      shut: null,
      timeToShut_s: null,
      proof: false,
    });
  });

  it('proves from 10 % on', () => {
    const from = (pct: number) =>
      judge(withColumn({ valveOpening_pct: Array.from(trace().time_s, (t) => (t < 3 ? pct : 0)) })).proof;
    expect([from(9.9), from(10)]).toEqual([false, true]);
  });
});

describe('a discharge that does not reach 40 % of the rated voltage', () => {
  /** Constant current of 2 A from a cell of 30 F rated 3 V, straight from 2.9 V on, every 0.1 s. */
  const discharge = (end_V: number, step_s = 0.1) => {
    const n = Math.round(((2.9 - end_V) * 30) / 2 / step_s) + 1;
    const time_s = Array.from({ length: n + 1 }, (_, i) => i * step_s);
    const voltage_V = time_s.map((t, i) => (i === 0 ? 3 : 2.9 - (2 / 30) * t));
    return { time_s, voltage_V, current_A: 2, ratedVoltage_V: 3 };
  };

  it('gives capacitance by a line through its later nine tenths', () => {
    const estimate = estimateCapacitor(discharge(2));
    expect(estimate.method).toBe('least-squares');
    expect(estimate.capacitance_F).toBeCloseTo(30, 6);
    expect(estimate.capacitanceUncertainty_F!).toBeLessThan(1e-6);
    // A curve that rounds off in its first tenth gives the same.
    const bent = discharge(2);
    bent.voltage_V[1]! += 0.03;
    bent.voltage_V[2]! += 0.01;
    expect(estimateCapacitor(bent).capacitance_F).toBeCloseTo(30, 6);
  });

  it('gives none under a swing of 1 % of the rated voltage, or without a fall', () => {
    const flat = { ...discharge(2), voltage_V: discharge(2).voltage_V.map((_, i) => 3 - 0.0001 * i) };
    expect(estimateCapacitor(flat)).toMatchObject({ capacitance_F: null, reason: 'discharge-too-shallow' });
    const short = { time_s: [0, 1], voltage_V: [3, 2.9], current_A: 2, ratedVoltage_V: 3 };
    expect(estimateCapacitor(short)).toMatchObject({ capacitance_F: null, reason: 'too-few-samples' });
    const rising = { time_s: [0, 1, 2, 3], voltage_V: [2, 2.5, 2.8, 3], current_A: 2, ratedVoltage_V: 3 };
    expect(estimateCapacitor(rising)).toMatchObject({ capacitance_F: null, reason: 'no-discharge' });
  });

  it('leaves out a rest before and the recovery after', () => {
    const { time_s, voltage_V } = discharge(1);
    const rest = [-3, -2, -1].map((t) => t / 10);
    const last = time_s.at(-1)!;
    const estimate = estimateCapacitor({
      time_s: [...rest, ...time_s, last + 0.1, last + 0.2],
      voltage_V: [3, 3, 3, ...voltage_V, 1.3, 1.4],
      current_A: 2,
      ratedVoltage_V: 3,
    });
    expect(estimate.method).toBe('iec-window');
    expect(estimate.capacitance_F).toBeCloseTo(30, 6);
  });
});
