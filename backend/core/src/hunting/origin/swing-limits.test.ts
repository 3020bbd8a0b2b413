import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { cycleShape } from './cycle-shape.js';
import { crossCorrelationShape, oscillationOrigin, originAtPeriod } from './oscillation-origin.js';
import { swingPartners } from './swing-partners.js';

const column = (n: number, of: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => of(i));

describe('swings from turn to turn', () => {
  it('are eight or more: of values by turns all but three are swings', () => {
    // The first value begins, the second gives the direction, the first swing began before the window.
    expect(cycleShape(column(10, (i) => (i % 2 ? 50 : 40)))).toBeNull();
    expect(cycleShape(column(11, (i) => (i % 2 ? 50 : 40)))).toEqual({
      swings: 8,
      openingSwing_pct: 10,
      openingSwingScatter: 0,
    });
    expect(cycleShape(new Float64Array(0))).toBeNull();
    expect(cycleShape(new Float64Array(50).fill(NaN))).toBeNull();
  });

  it('turn by more than 1 %', () => {
    expect(cycleShape(column(40, (i) => 40 + (i % 2)))).toBeNull();
    expect(cycleShape(column(40, (i) => 40 + 1.01 * (i % 2)))!.openingSwing_pct).toBeCloseTo(1.01, 9);
  });

  it('turn by more than 0.35 of the standard deviation where that is more', () => {
    // By tens from 100 to 0 and back: variance (2 * 50^2 + 2 * (10^2 + 20^2 + 30^2 + 40^2) * 2) / 20 = 850, of which
    // 0.35 of the root is 10.2.
    const saw = (up: number) => column(400, (i) => (i % 20 === 5 ? 60 + up : 10 * Math.abs((i % 20) - 10)));
    const smooth = cycleShape(saw(-10))!;
    expect(smooth.openingSwing_pct).toBeCloseTo(100, 9);
    expect(cycleShape(saw(9))!.swings).toBe(smooth.swings);
    // Two turns more in each round, on top of two.
    expect(Math.abs(cycleShape(saw(12))!.swings / smooth.swings - 2)).toBeLessThan(0.1);
  });

  it('are measured from the highest to the lowest value between two turns', () => {
    // 40, 45, 50, 48 | 20 ...: up to 50 and down to 20, each time by way of a value short of it.
    const cycle = [40, 50, 48, 30, 20, 22];
    const shape = cycleShape(column(120, (i) => cycle[i % 6]!))!;
    expect(shape.openingSwing_pct).toBeCloseTo(30, 9);
    expect(shape.openingSwingScatter).toBeCloseTo(0, 9);
  });

  it('scatter by their standard deviation over their mean', () => {
    // Turns at 40, 50, 40, 60: swings 10, 10, 20, 20.
    const turns = [40, 50, 40, 60];
    const shape = cycleShape(column(403, (i) => turns[i % 4]!))!;
    // 400 swings, by turns two of each size: mean 15, sample deviation 5 sqrt(n / (n - 1)) or 5.
    expect(shape.swings).toBe(400);
    expect(shape.openingSwing_pct).toBeCloseTo(15, 9);
    expect(Math.abs(shape.openingSwingScatter - 1 / 3)).toBeLessThan(1e-3);
  });
});

describe('a cross-correlation on even lags', () => {
  /** Straight lines through the places given as [lag, value], lags -10..10. */
  const lines = (...points: [number, number][]) =>
    column(21, (i) => {
      const lag = i - 10;
      for (let k = 1; k < points.length; k++) {
        const [x0, y0] = points[k - 1]!;
        const [x1, y1] = points[k]!;
        if (lag <= x1) return y0 + ((y1 - y0) * (lag - x0)) / (x1 - x0);
      }
      return NaN;
    });

  it('has its crossings at values of exactly zero, too', () => {
    // Zero at lags -4 and 8: (8 - 4) / (8 + 4).
    const shape = crossCorrelationShape(lines([-10, -1.5], [-4, 0], [0, 1], [8, 0], [10, -0.25]), 10)!;
    expect(shape.deltaTau).toBeCloseTo(1 / 3, 12);
    // Zero at lag zero and at 8: the left one is 0, (8 - 0) / (8 + 0).
    expect(crossCorrelationShape(lines([-10, 1], [0, 0], [4, 1], [8, 0], [10, -0.5]), 10)).toBeNull();
  });

  it('has its largest value anywhere between the crossings, on either side', () => {
    for (const mirrored of [false, true]) {
      // 0.4 at lag zero, a corner of 1 at lag 3 with 0.8 and 0.75 beside it.
      const one = lines([-10, -0.4], [-5, 0], [0, 0.4], [3, 1], [7, 0], [10, -0.75]);
      const shape = crossCorrelationShape(mirrored ? one.reverse() : one, 1)!;
      // Parabola through 0.8, 1, 0.75: 1 - (0.8 - 0.75)^2 / (8 * (0.8 - 2 + 0.75)).
      const top = 1 + 0.05 ** 2 / (8 * 0.45);
      expect(shape.deltaRho).toBeCloseTo((top - 0.4) / (top + 0.4), 9);
      expect(shape.deltaTau).toBeCloseTo(2 / 12, 9);
    }
  });

  it('takes no parabola through a value beyond a crossing', () => {
    // 1 at lag zero between -1.5 and 0.2: the largest within the crossings is the value at zero itself.
    for (const mirrored of [false, true]) {
      const narrow = Float64Array.of(-0.1, -1.5, 1, 0.2, -0.5);
      const shape = crossCorrelationShape(mirrored ? narrow.reverse() : narrow, 1)!;
      expect(shape.deltaRho).toBe(0);
      // Crossings at 1 / 2.5 and 1 + 0.2 / 0.7.
      const [near, far] = [0.4, 1 + 2 / 7];
      expect(shape.deltaTau).toBeCloseTo((far - near) / (far + near), 12);
    }
  });

  it('crosses at the last lag, but not beyond it', () => {
    expect(crossCorrelationShape(Float64Array.of(-1, 1, -1), 1)).toEqual({ deltaTau: 0, deltaRho: 0 });
    expect(crossCorrelationShape(Float64Array.of(1, 1, -1), 1)).toBeNull();
    expect(crossCorrelationShape(Float64Array.of(-1, 1, 1), 1)).toBeNull();
    expect(crossCorrelationShape(Float64Array.of(1), 1)).toBeNull();
  });

  it('does not look past the crossings', () => {
    // Beyond the crossings at -3 and 3 lies a value twice as large.
    const shape = crossCorrelationShape(lines([-10, -2], [-6, -2], [0, 2], [6, -2], [10, -2]), 1)!;
    expect(shape.deltaTau).toBeCloseTo(0, 12);
    expect(shape.deltaRho).toBeCloseTo(0, 12);
  });
});

describe('the origin near its limits', () => {
  const n = 720;
  const period_s = 240;
  const time_s = column(n, (i) => 10 * i);
  const angle = (i: number) => (2 * Math.PI * 10 * i) / period_s;
  const value = column(n, (i) => 8 + Math.sin(angle(i)));
  const shifted = (degrees: number) =>
    originAtPeriod(
      {
        time_s,
        value,
        valveOpening_pct: column(n, (i) => 40 + 3 * Math.sin(angle(i) + (degrees * Math.PI) / 180)),
      },
      period_s,
    );

  it('has for sines d degrees apart delta tau d/90 and delta rho (1 - cos d) / (1 + cos d)', () => {
    // Correlation cos(w lag + d): zeros at 90 - d to one side and 90 + d to the other.
    for (const d of [10, 20, 40, 60, 80]) {
      const { deltaTau, deltaRho } = shifted(d).indices;
      const cos = Math.cos((d * Math.PI) / 180);
      expect(Math.abs(deltaTau! - d / 90)).toBeLessThan(0.03);
      expect(Math.abs(deltaRho! - (1 - cos) / (1 + cos))).toBeLessThan(0.03);
    }
  });

  it('is friction over 2/3 and 1/3, something else under 1/3 and 0.072, and undecided between (Horch 1999)', () => {
    // 60 degrees: 2/3 and 1/3. 30 degrees: 1/3 and 0.072.
    expect(shifted(66).origin).toBe('valve-friction');
    expect(shifted(54).origin).toBe('undecided');
    expect(shifted(36).origin).toBe('undecided');
    expect(shifted(24).origin).toBe('not-valve-friction');
    expect(shifted(-24).origin).toBe('not-valve-friction');
    expect(shifted(156).origin).toBe('not-valve-friction');
  });

  it('needs twenty samples of both', () => {
    const some = (count: number) => {
      const opening = column(n, (i) => (i < count ? 40 + 3 * Math.cos(angle(i)) : NaN));
      return originAtPeriod({ time_s, value, valveOpening_pct: opening }, period_s).indices[
        'openingVarianceFraction'
      ];
    };
    expect(some(19)).toBeNull();
    expect(some(20)).not.toBeNull();
  });

  it('is looked for only where the value oscillates', () => {
    const opening = column(n, (i) => 40 + 3 * Math.cos(angle(i)));
    const seen = oscillationOrigin({ time_s, value, valveOpening_pct: opening });
    expect(seen.origin).toBe('valve-friction');
    expect(Math.abs(seen.indices['period_s']! / period_s - 1)).toBeLessThan(0.01);
    const still = oscillationOrigin({ time_s, value: column(n, () => 8), valveOpening_pct: opening });
    expect(still).toEqual({
      origin: 'undecided',
      indices: { deltaTau: null, deltaRho: null, period_s: null },
    });
  });

  it('is undecided where the value does not move', () => {
    const opening = column(n, (i) => 40 + 3 * Math.cos(angle(i)));
    const still = originAtPeriod({ time_s, value: column(n, () => 8), valveOpening_pct: opening }, period_s);
    expect(still.origin).toBe('undecided');
    expect(still.indices['deltaTau']).toBeNull();
    expect(still.indices['openingVarianceFraction']).toBeCloseTo(1, 3);
  });
});

describe('partners of the swing', () => {
  const period_s = 200;
  const omega = (2 * Math.PI) / period_s;
  const n = 721;
  const start_s = 1_000_000;
  const superheat_K = column(n, (i) => 8 + 2 * Math.sin(omega * 10 * i));
  const withOpening = (of: (i: number) => number) => {
    const series = emptyCircuitSeries(n);
    for (let i = 0; i < n; i++) {
      series.time_s[i] = start_s + 10 * i;
      series.valveOpening_pct[i] = of(i);
    }
    return series;
  };
  const opening = (of: (i: number) => number, from = 0, to = n, own = superheat_K) =>
    swingPartners(withOpening(of), own, from, to, period_s)[0];

  it('lead by the part of a cycle that their crest comes earlier, within half a cycle', () => {
    for (const cycles of [0.1, -0.1, 0.4, -0.4]) {
      const seen = opening((i) => 45 + 3 * Math.sin(omega * 10 * i + 2 * Math.PI * cycles))!;
      expect(seen.lead_cycles).toBeCloseTo(cycles, 3);
      expect(seen.amplitude).toBeCloseTo(3, 2);
    }
    expect(opening((i) => 45 + 3 * Math.sin(omega * 10 * i + 2 * Math.PI * 0.9))!.lead_cycles).toBeCloseTo(
      -0.1,
      3,
    );
  });

  it('are as high wherever the stretch begins, and however high they stand', () => {
    const swing = (i: number) => 3 * Math.sin(omega * 10 * i + 1);
    const low = opening((i) => swing(i))!;
    const high = opening((i) => 1e4 + swing(i))!;
    expect(high.amplitude).toBeCloseTo(low.amplitude, 6);
    expect(high.varianceFraction).toBeCloseTo(low.varianceFraction, 6);
    expect(opening(swing, 120, 600)!.amplitude).toBeCloseTo(3, 2);
    expect(opening(swing, 120, 600)!.lead_cycles).toBeCloseTo(1 / (2 * Math.PI), 3);
  });

  it('have the half of the square of their amplitude over their variance as their fraction of it', () => {
    // Half in the cycle of superheat, half at a fifth of the period: variances 2 and 0.5.
    const seen = opening((i) => 45 + 2 * Math.sin(omega * 10 * i) + Math.sin(5 * omega * 10 * i))!;
    expect(seen.varianceFraction).toBeCloseTo(0.8, 2);
  });

  it('are squared coherent by the length of the mean direction from block to block', () => {
    // Blocks of three cycles (60 samples) by turns in phase and a quarter late: |1 - i|^2 / 4 = 1/2.
    const seen = opening(
      (i) => 45 + 3 * Math.sin(omega * 10 * i - (Math.floor(i / 60) % 2) * (Math.PI / 2)),
    )!;
    expect(seen.coherence!).toBeGreaterThan(0.45);
    expect(seen.coherence!).toBeLessThan(0.55);
  });

  it('are coherent wherever in its cycle superheat begins', () => {
    const own = column(n, (i) => 8 + 2 * Math.sin(omega * 10 * i + 0.7));
    const seen = opening((i) => 45 + 3 * Math.sin(omega * 10 * i + 1.9), 0, n, own)!;
    expect(seen.coherence!).toBeCloseTo(1, 6);
    expect(seen.lead_cycles).toBeCloseTo(1.2 / (2 * Math.PI), 3);
  });

  it('need twelve samples, and six in a block of three cycles', () => {
    // Samples of superheat in the first two blocks only.
    const some = (first: number, second: number) => {
      const own = superheat_K.map((v, i) => (i < first || (i >= 60 && i < 60 + second) ? v : NaN));
      return opening((i) => 45 + 3 * Math.sin(omega * 10 * i), 0, n, own);
    };
    expect(some(11, 0)).toBeUndefined();
    expect(some(12, 0)).toBeDefined();
    expect(some(6, 5)).toBeUndefined();
    expect(some(7, 5)).toBeUndefined();
    expect(some(6, 6)).toBeDefined();
  });

  it('have a coherence from four blocks of superheat on', () => {
    expect(opening((i) => 45 + 3 * Math.sin(omega * 10 * i), 0, 180)!.coherence).toBeNull();
    expect(opening((i) => 45 + 3 * Math.sin(omega * 10 * i), 0, 240)!.coherence).toBeCloseTo(1, 6);
  });

  it('come in the order of the signals, each by its own column', () => {
    const series = withOpening((i) => 45 + 3 * Math.sin(omega * 10 * i));
    for (let i = 0; i < n; i++) {
      const swing = Math.sin(omega * 10 * i);
      series.suctionPressure_Pa[i] = 3e5 + 1000 * swing;
      series.suctionTemperature_K[i] = 280 + 0.5 * swing;
      series.dischargePressure_Pa[i] = 1e6 + 2000 * swing;
      series.compressorLoad_pct[i] = 70 + 4 * swing;
      series.superheatSetpoint_K[i] = 8 + 0.1 * swing;
      series.enteringWaterTemperature_K[i] = 285 + 0.2 * swing;
      series.leavingWaterTemperature_K[i] = 280 + 0.3 * swing;
    }
    const seen = swingPartners(series, superheat_K, 0, n, period_s).map(({ signal, amplitude }) => [
      signal,
      Number(amplitude.toPrecision(2)),
    ]);
    expect(seen).toEqual([
      ['valve-opening', 3],
      ['suction-pressure', 1000],
      ['suction-temperature', 0.5],
      ['discharge-pressure', 2000],
      ['compressor-load', 4],
      ['superheat-setpoint', 0.1],
      ['entering-water', 0.2],
      ['leaving-water', 0.3],
    ]);
  });
});
