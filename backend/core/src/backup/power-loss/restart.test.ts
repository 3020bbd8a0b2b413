import { describe, expect, it } from 'vitest';
import { circuit, circuitSeries, start_s } from '../sample-modules.js';
import type { CircuitLossReview } from './power-loss-review.js';
import { restartFigures, restartOf, worstAtRestart } from './restart.js';

const low_Pa = 3e5;
/** Gone for ten minutes, from the tenth on. */
const loss = { from_s: start_s + 600, to_s: start_s + 1200 };

/** Half an hour, a sample a minute; minute 10 is the first without mains, minute 20 the first with them. */
const minutes = (at: (minute: number) => { load?: number; difference_Pa?: number }) =>
  circuitSeries(start_s, start_s + 1800, 60, (t) => {
    const { load = NaN, difference_Pa = 0 } = at((t - start_s) / 60);
    return {
      suctionPressure_Pa: low_Pa,
      dischargePressure_Pa: low_Pa + difference_Pa,
      compressorLoad_pct: load,
    };
  });
const restartMinute = (of: Parameters<typeof minutes>[0], lost: Parameters<typeof restartOf>[1] = loss) => {
  const at_s = restartOf(minutes(of), lost);
  return at_s === null ? null : (at_s - start_s) / 60;
};

describe('the restart', () => {
  it('is the first load over 1 % with the mains back, whatever ran before', () => {
    expect(restartMinute((minute) => ({ load: minute < 10 || minute >= 24 ? 70 : 0 }))).toBe(24);
    expect(restartMinute((minute) => ({ load: minute < 22 ? 70 : 0 }))).toBe(20);
    expect(restartMinute((minute) => ({ load: minute >= 26 ? 1.1 : 1 }))).toBe(26);
    expect(restartMinute(() => ({ load: 1 }))).toBeNull();
  });

  it('has not come while the mains are gone', () => {
    expect(restartMinute(() => ({ load: 70 }), { ...loss, to_s: null })).toBeNull();
  });

  it('is without a load signal the rise of the difference by a tenth of the low pressure of 3 bar over its lowest', () => {
    // Down to 0.5 bar while the mains are gone: over 0.8 bar it has restarted.
    const rising = (to_Pa: number) =>
      restartMinute((minute) => ({ difference_Pa: minute < 10 ? 6e5 : minute < 25 ? 0.5e5 : to_Pa }));
    expect(rising(0.79e5)).toBeNull();
    expect(rising(0.81e5)).toBe(25);
    // Still falling when the mains are back: the lowest is 0.2 bar at minute 23.
    expect(
      restartMinute((minute) => ({
        difference_Pa: minute < 23 ? 3e5 - 0.1e5 * minute : minute === 23 ? 0.2e5 : 0.51e5,
      })),
    ).toBe(24);
    expect(
      restartMinute((minute) => ({
        difference_Pa: minute < 23 ? 3e5 - 0.1e5 * minute : minute === 23 ? 0.2e5 : 0.49e5,
      })),
    ).toBeNull();
    // A low side that reads over the high one counts as equal.
    const from = (difference_Pa: number) =>
      restartMinute((minute) => ({ difference_Pa: minute < 25 ? -0.2e5 : difference_Pa }));
    expect(from(0.29e5)).toBeNull();
    expect(from(0.31e5)).toBe(25);
  });

  it('is not told by the pressures where the load says that it stands', () => {
    expect(restartMinute((minute) => ({ load: 0, difference_Pa: minute < 25 ? 0 : 6e5 }))).toBeNull();
  });
});

describe('superheat after the restart', () => {
  /** PUBLISHED, Tillner-Roth & Baehr 1994: R134a boils at 273.82 K under 0.3 MPa. */
  const dew_K = 273.82;
  const restart_s = loss.to_s;
  /** Samples `[seconds after the restart, superheat]`; the floodback limit is 2 K. */
  const figures = (...samples: [number, number][]) => {
    const series = circuitSeries(restart_s, restart_s + samples.length - 1, 1, () => ({}));
    samples.forEach(([after_s, superheat_K], i) => {
      series.time_s[i] = restart_s + after_s;
      series.suctionPressure_Pa[i] = low_Pa;
      series.suctionTemperature_K[i] = dew_K + superheat_K;
    });
    return restartFigures(circuit, { circuit: 1, refrigerant: 'R134a', series }, restart_s);
  };

  it('is at its lowest over the first ten minutes', () => {
    const lowest = (...samples: [number, number][]) => figures(...samples).restartLeastSuperheat_K!;
    expect(lowest([0, 6], [300, 3], [600, 1])).toBeCloseTo(1, 1);
    expect(lowest([0, 6], [300, 3], [601, 1])).toBeCloseTo(3, 1);
    expect(lowest([-1, 1], [0, 6], [300, 3])).toBeCloseTo(3, 1);
  });

  it('is under the limit from the sample before on, half a minute for one sample at the most', () => {
    const under = (...samples: [number, number][]) => figures(...samples).restartUnderFloodback_s;
    expect(under([0, 6], [20, 1.5], [40, 1.5], [60, 6])).toBe(40);
    expect(under([0, 1.5], [10, 6])).toBe(0);
    expect(under([0, 6], [120, 1.5], [130, 6])).toBe(30);
    expect(under([0, 6], [20, 2.1])).toBe(0);
    expect(under([0, 6], [20, NaN], [25, 1.5])).toBe(25);
  });

  it('is not known without a restart or without readings', () => {
    const nothing = { restartLeastSuperheat_K: null, restartUnderFloodback_s: null };
    expect(figures([-10, 6], [700, 6])).toEqual(nothing);
    expect(figures([10, NaN])).toEqual(nothing);
    const series = circuitSeries(restart_s, restart_s + 60, 10, () => ({
      suctionPressure_Pa: 0,
      suctionTemperature_K: 280,
    }));
    const seen = { circuit: 1, refrigerant: 'R134a', series };
    expect(restartFigures(circuit, seen, restart_s)).toEqual(nothing);
    expect(restartFigures(circuit, seen, null)).toEqual(nothing);
  });
});

describe('the circuit that a restart left worst off', () => {
  const seen = (
    circuit: number,
    restartLeastSuperheat_K: number | null,
    restartUnderFloodback_s: number | null,
  ) => ({ circuit, restartLeastSuperheat_K, restartUnderFloodback_s }) as CircuitLossReview;
  it('was longest under the limit, and has the lowest superheat of those that were as long', () => {
    expect(worstAtRestart([seen(1, -0.8, 20), seen(2, 0.2, 60)])!.circuit).toBe(2);
    expect(worstAtRestart([seen(1, 0.01, 30), seen(2, -0.8, 30)])!.circuit).toBe(2);
    expect(worstAtRestart([seen(1, 5, 0), seen(2, null, null), seen(3, 3, 0)])!.circuit).toBe(3);
    expect(worstAtRestart([seen(1, null, null)])).toBeUndefined();
  });
});
