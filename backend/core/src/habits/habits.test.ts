import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../numerics/index.js';
import { emptyCircuitSeries } from '../telemetry/circuit-series.js';
import { clockDelay } from './signal/clock-delay.js';
import { glitchesOf } from './signal/glitches.js';
import { longestUnchanged_s, withoutHeldLines } from './signal/held-line.js';
import { heldValues } from './signal/hold.js';
import { learnHabits } from './learn-habits.js';
import { prepareSeries } from './prepare-series.js';
import { signalReports } from './signal-report.js';
import { reportingOf } from './signal/reporting.js';
import { quantisationNoise, resolutionOf } from './signal/resolution.js';
import { sendingNoise } from './signal/signal-habit.js';
import { toRemember, withLearned } from './with-learned.js';

const seconds = (n: number, step = 10) => Float64Array.from({ length: n }, (_, i) => i * step);

/** Slow swing with noise: what a running circuit's thermometer shows. */
function lively(n: number, seed: number, noise = 0.05, swing = 1.5): Float64Array {
  const normal = normalDraws(seededRandom(seed));
  let drift = 0;
  return Float64Array.from({ length: n }, (_, i) => {
    drift += 0.03 * normal();
    return 283 + swing * Math.sin(i / 40) + 0.5 * Math.sin(i / 7) + drift * 0.3 + noise * normal();
  });
}

/** As a gateway with a deadband sends it: NaN where nothing is sent. */
function onChange(values: Float64Array, deadband: number): Float64Array {
  let last = NaN;
  return values.map((value) => {
    if (Math.abs(value - last) < deadband) return NaN;
    last = value;
    return value;
  });
}

function filled(values: Float64Array): Float64Array {
  let last = NaN;
  return values.map((value) => (Number.isFinite(value) ? (last = value) : last));
}

const rounded = (values: Float64Array, step: number) =>
  values.map((value) => Math.round(value / step) * step);

describe('the step of a reading', () => {
  it.each([1, 0.5, 0.1, 0.05, 10_000, 390.625, 5 / 9])('of %d is found from the values alone', (step) => {
    const values = rounded(
      lively(400, 1).map((value) => (value - 283) * (step > 100 ? 5e3 : 2) + 300 * step),
      step,
    );
    expect(resolutionOf(values) / step).toBeCloseTo(1, 3);
  });

  it('survives the single precision of a store, and a few values that are off the grid', () => {
    const values = rounded(lively(2000, 2), 0.05);
    const stored = Float64Array.from(new Float32Array(values));
    stored[700] += 7.123;
    expect(resolutionOf(stored)).toBeCloseTo(0.05, 3);
  });

  it('is none where values are continuous, or too few', () => {
    expect(resolutionOf(lively(500, 3))).toBe(0);
    expect(resolutionOf([4, 4, 4])).toBe(0);
  });

  it('adds noise of q over the root of 12, as rounding of a lively signal does', () => {
    // Widrow & Kollar, Quantization Noise (2008): uniform error, variance q^2/12, once the signal's spread passes the step.
    const values = lively(20_000, 4, 1, 3);
    const step = 1;
    const error = rounded(values, step).map((value, i) => value - values[i]);
    const rms = Math.hypot(...error) / Math.sqrt(error.length);
    expect(rms / quantisationNoise(step)).toBeGreaterThan(0.97);
    expect(rms / quantisationNoise(step)).toBeLessThan(1.03);
  });

  it('and a deadband that of a uniform error to either side', () => {
    const values = lively(20_000, 5, 0.01, 3);
    const deadband = 0.3;
    const error = filled(onChange(values, deadband)).map((value, i) => value - values[i]);
    const rms = Math.hypot(...error) / Math.sqrt(error.length);
    expect(Math.max(...error.map(Math.abs))).toBeLessThan(deadband);
    const said = sendingNoise({ resolution: 0, deadband });
    expect(rms / said).toBeGreaterThan(0.75);
    expect(rms / said).toBeLessThan(1.1);
  });
});

describe('how a signal is sent', () => {
  const n = 1440;

  it.each([0.2, 0.5])(
    'is on change where rows lack it and no change is under its deadband of %d K',
    (deadband) => {
      const seen = reportingOf(seconds(n), onChange(rounded(lively(n, 6), 0.05), deadband));
      expect(seen.reporting).toBe('on-change');
      expect(seen.deadband).toBeGreaterThanOrEqual(deadband - 1e-9);
      expect(seen.deadband).toBeLessThan(deadband + 0.11);
    },
  );

  it('is on change too where the rows are filled with the value sent last', () => {
    const seen = reportingOf(seconds(n), filled(onChange(rounded(lively(n, 7), 0.05), 0.3)));
    expect(seen.reporting).toBe('on-change');
    expect(seen.deadband).toBeCloseTo(0.3, 1);
  });

  it.each([1, 0.5, 0.05, 0])('is sampled where it comes in every row, with steps of %d K', (step) => {
    const values = lively(n, 8);
    expect(reportingOf(seconds(n), step > 0 ? rounded(values, step) : values).reporting).toBe('sampled');
  });

  it('is sampled where rows are lost at random', () => {
    const normal = normalDraws(seededRandom(9));
    const values = lively(n, 10).map((value) => (normal() > 0.5 ? NaN : value));
    expect(reportingOf(seconds(n), values).reporting).toBe('sampled');
  });

  it('is not told of a signal that hardly moves', () => {
    const values = new Float64Array(n).fill(40);
    for (let i = 700; i < n; i++) values[i] = 55;
    expect(reportingOf(seconds(n), values).reporting).toBeNull();
  });
});

describe('a glitch', () => {
  it('is a single sample off all its neighbours; 30 of 30 are found among 5000, and nothing else', () => {
    const values = lively(5000, 11);
    const placed = Array.from({ length: 30 }, (_, k) => 100 + 160 * k);
    placed.forEach((index, k) => (values[index] += (k % 2 === 0 ? 1 : -1) * (8 + k)));
    expect(glitchesOf(seconds(5000), values, 4)).toEqual(placed);
  });

  it('is nothing that comes every third sample', () => {
    const values = lively(600, 20).map((value, i) => (i % 3 === 0 ? value - 6 : value));
    expect(glitchesOf(seconds(600), values, 4)).toEqual([]);
  });

  it('is no step, no ramp and no excursion of a minute', () => {
    const values = lively(600, 12);
    for (let i = 200; i < 600; i++) values[i] += 12;
    for (let i = 400; i < 420; i++) values[i] += 0.6 * (i - 400);
    for (let i = 420; i < 600; i++) values[i] += 12;
    for (let i = 300; i < 306; i++) values[i] -= 15;
    expect(glitchesOf(seconds(600), values, 4)).toEqual([]);
  });
});

describe('a value that is held', () => {
  it('stands until the next one, for no longer than its limit and not over a silence', () => {
    const time_s = [0, 100, 500];
    const values = [1, NaN, 2];
    const at_s = [0, 50, 130, 140, 500, 700];
    expect([...heldValues(time_s, values, at_s, 130)]).toEqual([1, 1, 1, NaN, 2, NaN]);
    const heard = { last_s: [0, 0, 100, 100, 500, 500], silence_s: 45 };
    expect([...heldValues(time_s, values, at_s, 1000, heard)]).toEqual([1, NaN, 1, 1, 2, NaN]);
  });
});

describe('clocks that are apart', () => {
  const time_s = seconds(3 * 720);
  const changes = [3000, 7000, 12_000, 17_000];
  const valve = (late_s: number) => {
    const normal = normalDraws(seededRandom(13));
    return time_s.map((t) => {
      const passed = changes.filter((at) => at + late_s <= t).length;
      return (passed % 2 === 0 ? 45 : 0) + 0.3 * normal();
    });
  };

  it.each([0, 30, 180, -120])('are found to within a row at a delay of %d s', (late_s) => {
    const found = clockDelay(time_s, valve(late_s), changes);
    expect(found!.changes).toBe(4);
    expect(Math.abs(found!.delay_s - late_s)).toBeLessThanOrEqual(10);
  });

  it('are not told from a single change, or from a signal that does not move', () => {
    expect(clockDelay(time_s, valve(60), changes.slice(0, 1))).toBeNull();
    expect(clockDelay(time_s, lively(time_s.length, 14), changes)).toBeNull();
  });
});

describe('a series', () => {
  function circuit(n: number) {
    const series = emptyCircuitSeries(n);
    series.time_s.set(seconds(n));
    series.suctionTemperature_K.set(rounded(lively(n, 15), 0.05));
    series.suctionPressure_Pa.set(lively(n, 16).map((value) => 3.4e5 + 8e3 * (value - 283)));
    series.dischargePressure_Pa.set(lively(n, 17).map((value) => 9e5 + 2e4 * (value - 283)));
    series.valveOpening_pct.set(lively(n, 18).map((value) => 45 + 3 * (value - 283)));
    series.compressorLoad_pct.fill(70);
    return series;
  }

  it('sent on change is read on an even grid, within its deadbands of what was measured', () => {
    const whole = circuit(1440);
    const sent = { ...whole };
    sent.suctionTemperature_K = onChange(whole.suctionTemperature_K, 0.3);
    sent.suctionPressure_Pa = onChange(whole.suctionPressure_Pa, 3000);
    sent.dischargePressure_Pa = onChange(whole.dischargePressure_Pa, 8000);
    sent.valveOpening_pct = onChange(whole.valveOpening_pct, 1);
    sent.compressorLoad_pct = onChange(whole.compressorLoad_pct, 1);
    const { series, habits } = prepareSeries(sent);
    expect(habits.reporting).toBe('on-change');
    expect(series.time_s.length).toBe(1440);
    series.suctionTemperature_K.forEach((value, i) =>
      expect(Math.abs(value - whole.suctionTemperature_K[i])).toBeLessThan(0.3),
    );
    expect(series.compressorLoad_pct.slice(0, 180).every((value) => value === 70)).toBe(true);
  });

  it('is taken as the registry says, whatever its values look like', () => {
    const series = circuit(720);
    expect(learnHabits(series, 'on-change').reporting).toBe('on-change');
    expect(learnHabits(series).reporting).toBe('sampled');
  });

  it('loses its glitches and nothing else', () => {
    const whole = circuit(1440);
    const broken = { ...whole, suctionTemperature_K: whole.suctionTemperature_K.slice() };
    for (const index of [200, 700, 1100]) broken.suctionTemperature_K[index] += 30;
    const { series, habits } = prepareSeries(broken);
    expect(habits.signals.suctionTemperature_K.glitches).toBe(3);
    series.suctionTemperature_K.forEach((value, i) => {
      if ([200, 700, 1100].includes(i)) expect(value).toBeNaN();
      else expect(value).toBe(whole.suctionTemperature_K[i]);
    });
  });

  it('sampled in slower columns carries them between their own times and no further', () => {
    const slow = circuit(720);
    slow.liquidTemperature_K.set(lively(720, 19).map((value, i) => (i % 6 === 0 && i < 360 ? value : NaN)));
    const { series } = prepareSeries(slow);
    expect(series.liquidTemperature_K[5]).toBe(slow.liquidTemperature_K[0]);
    expect(series.liquidTemperature_K[365]).toBe(slow.liquidTemperature_K[354]);
    expect(series.liquidTemperature_K[400]).toBeNaN();
  });
});

describe('what days tell of a stretch of hours', () => {
  /** Two temperatures that a gateway sends on change, for as long as is asked. */
  const sentOnChange = (rows: number) => {
    const series = emptyCircuitSeries(rows);
    series.time_s = seconds(rows);
    series.suctionTemperature_K = onChange(lively(rows, 31), 0.3);
    series.liquidTemperature_K = onChange(lively(rows, 32), 0.3);
    return series;
  };

  it('is that values are sent on change, where the stretch itself has too few of them', () => {
    const learned = learnHabits(sentOnChange(8640));
    expect(learned.reporting).toBe('on-change');
    expect(toRemember(learned)).toBe(learned);
    const quiet = sentOnChange(8640);
    for (const name of ['suctionTemperature_K', 'liquidTemperature_K'] as const)
      quiet[name] = quiet[name].map((value, i) => (i % 300 === 0 ? value : NaN));
    const { habits } = prepareSeries(quiet, { learned });
    expect(habits.reporting).toBe('on-change');
    expect(habits.signals.suctionTemperature_K.hold_s).toBe(learned.signals.suctionTemperature_K.hold_s);
  });

  it('is that clocks are apart, and nothing else of a gateway that samples', () => {
    const series = emptyCircuitSeries(720);
    series.time_s = seconds(720);
    series.suctionTemperature_K = rounded(lively(720, 33), 0.5);
    const own = learnHabits(series);
    expect(toRemember(own)).toBeNull();
    expect(withLearned(own, null)).toBe(own);
    const learned = { ...own, clocksApart: true, rowInterval_s: 60 };
    expect(toRemember(learned)).toBe(learned);
    expect(withLearned(own, learned)).toEqual({ ...own, clocksApart: true });
  });
});

describe('the delay at a stop', () => {
  /** Days in which the compressor stands for so long at noon; the pressure rises at the stop and falls at the start. */
  const standing = (minutes: number) => {
    const series = emptyCircuitSeries(3 * 8640);
    series.time_s = seconds(3 * 8640);
    const stands = (i: number) => i % 8640 >= 4320 && i % 8640 < 4320 + 6 * minutes;
    series.compressorLoad_pct = series.time_s.map((_, i) => (stands(i) ? 0 : 70));
    series.suctionPressure_Pa = series.time_s.map(
      (_, i) => (stands(i) ? 4.5e5 : 3.5e5) + 500 * Math.sin(i * i),
    );
    return learnHabits(series);
  };

  it('is not told where the start comes minutes later: which of the two moved a signal is not known', () => {
    expect(standing(6).delays).toEqual({});
    expect(standing(6).clocksApart).toBe(false);
    expect(Math.abs(standing(30).delays.suctionPressure_Pa!.delay_s)).toBeLessThanOrEqual(10);
  });
});

describe('a line that is lost while the gateway goes on sending', () => {
  /** A day of a thermometer's noise, one value held for so long, s. */
  const held = (length_s: number, step = 0.05) => {
    const series = emptyCircuitSeries(8640);
    series.time_s = seconds(8640);
    series.suctionTemperature_K = rounded(lively(8640, 41), step).map((value, i, all) =>
      i >= 3000 && i < 3000 + length_s / 10 ? all[3000]! : value,
    );
    return series;
  };
  const left = (series: ReturnType<typeof held>) =>
    withoutHeldLines(series, learnHabits(series), ['suctionTemperature_K']).suctionTemperature_K;

  it('is told by a value that stands far longer than its noise lets it, all but its first sample', () => {
    const gone = left(held(3600));
    expect([2999, 3000, 3001, 3359, 3360].map((i) => Number.isFinite(gone[i]!))).toEqual([
      true,
      true,
      false,
      false,
      true,
    ]);
  });

  it('is not read into a short stand, nor into coarse steps or values sent on change', () => {
    expect(left(held(600)).every(Number.isFinite)).toBe(true);
    expect(left(held(3600, 2)).every(Number.isFinite)).toBe(true);
    const series = held(3600);
    const onlyChanges = withoutHeldLines(series, learnHabits(series, 'on-change'), ['suctionTemperature_K']);
    expect(onlyChanges.suctionTemperature_K).toBe(series.suctionTemperature_K);
  });

  it('needs 200 stands to know how long a value stands', () => {
    const moving = Float64Array.from({ length: 200 }, (_, i) => i);
    expect(longestUnchanged_s(seconds(200), moving)).toBe(0);
    expect(longestUnchanged_s(seconds(199), moving.subarray(0, 199))).toBeNull();
  });
});

describe('what a person is told of the signals', () => {
  const told = (
    change: (series: ReturnType<typeof emptyCircuitSeries>) => void,
    registered?: 'on-change',
  ) => {
    const series = emptyCircuitSeries(2000);
    series.time_s = seconds(2000);
    series.suctionTemperature_K = rounded(lively(2000, 51), 0.1);
    series.suctionPressure_Pa = lively(2000, 52).map((value) => 3.4e5 + 8e3 * (value - 283));
    change(series);
    return signalReports(series, learnHabits(series, registered))!;
  };

  it('is how much of each came, by its own interval', () => {
    const { signals, from_s, to_s } = told((series) => {
      // Every fourth value is lost, and of the pressure the last fifth.
      series.suctionTemperature_K = series.suctionTemperature_K.map((value, i) =>
        i % 4 === 1 ? NaN : value,
      );
      series.suctionPressure_Pa.fill(NaN, 1600);
    });
    expect([from_s, to_s]).toEqual([0, 19_990]);
    expect(signals.suctionTemperature_K.completeness).toBeCloseTo(0.75, 2);
    expect(signals.suctionTemperature_K.resolution).toBeCloseTo(0.1, 3);
    expect(signals.suctionPressure_Pa).toMatchObject({ values: 1600, newest_s: 15_990, interval_s: 10 });
    expect(signals.suctionPressure_Pa.completeness).toBeCloseTo(0.8, 2);
    expect(signals.liquidTemperature_K).toMatchObject({ values: 0, newest_s: null, completeness: null });
  });

  it('promises nothing of what is sent on change, and tells nothing of nothing', () => {
    const { signals } = told(() => {}, 'on-change');
    expect(signals.suctionPressure_Pa).toMatchObject({ reporting: 'on-change', completeness: null });
    expect(signalReports(emptyCircuitSeries(0), learnHabits(emptyCircuitSeries(0)))).toBeNull();
  });
});

describe('a setpoint of superheat', () => {
  it('is none where 0, a temperature or tenths are sent for it', () => {
    const read = (sent_K: number) => {
      const series = emptyCircuitSeries(40);
      series.time_s.set(seconds(40));
      series.superheatSetpoint_K.fill(sent_K);
      return prepareSeries(series).series.superheatSetpoint_K[20];
    };
    for (const sent_K of [2.6, 6, 15]) expect(read(sent_K)).toBe(sent_K);
    for (const sent_K of [0, -6, 60, 279.15]) expect(read(sent_K)).toBeNaN();
  });
});
