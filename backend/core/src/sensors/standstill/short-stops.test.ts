import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { shortStops } from './short-stops.js';

interface Case {
  /** Samples running and standing, every 10 s; it runs on after the stop. */
  runs?: number;
  stands?: number;
  /** Changes a sample by the time since the stop, negative before it. */
  change?: (series: CircuitSeries, i: number, since_s: number) => void;
  flag?: (since_s: number) => number | undefined;
}

/** A run at 3 bar with water cooled from 12 to 7 C, then a stop with the valve shut. */
function stops({ runs = 200, stands = 60, change, flag }: Case) {
  const n = runs + stands + 20;
  const series = emptyCircuitSeries(n);
  const flags = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    const since_s = 10 * (i - runs);
    series.time_s[i] = 1000 + 10 * i;
    flags[i] = flag?.(since_s) ?? (i < runs || i >= runs + stands ? 1 : 0);
    series.suctionPressure_Pa[i] = 3e5;
    series.enteringWaterTemperature_K[i] = 285.15;
    series.leavingWaterTemperature_K[i] = 280.15;
    series.valveOpening_pct[i] = flags[i] === 1 ? 50 : 0;
    change?.(series, i, since_s);
  }
  return shortStops(series, flags);
}

describe('a short stop', () => {
  it('is looked at from half a minute after it to its end, half an hour at the most', () => {
    const [stop] = stops({ runs: 200, stands: 60 });
    expect(stop!.from_s).toBe(3000);
    expect(stop!.to_s).toBe(3590);
    expect([stop!.at_s[0], stop!.at_s.at(-1)]).toEqual([30, 590]);
    expect(stop!.at_s).toHaveLength(57);
    const [long] = stops({ stands: 400 });
    expect(long!.at_s.at(-1)).toBe(1800);
    expect(long!.to_s).toBe(3000 + 1800);
  });

  it('has the readings of pressure and leaving water sample by sample', () => {
    const [stop] = stops({
      change: (series, i, since_s) => {
        series.suctionPressure_Pa[i] = 3e5 + since_s;
        series.leavingWaterTemperature_K[i] = 280 + since_s / 1000;
      },
    });
    expect([...stop!.suctionPressure_Pa.slice(0, 2)]).toEqual([300_030, 300_040]);
    expect(stop!.waterTemperature_K[2]).toBeCloseTo(280.05, 9);
  });

  it('takes four minutes', () => {
    expect(stops({ stands: 25 })).toHaveLength(1);
    expect(stops({ stands: 24 })).toEqual([]);
  });

  it('takes eight samples, and 192 of its first 240 seconds seen', () => {
    // Readings every `every` seconds until `until`.
    const seen = (every: number, until: number) =>
      stops({
        stands: 25,
        change: (series, i, since_s) => {
          if (since_s >= 0 && (since_s % every !== 0 || since_s > until))
            series.leavingWaterTemperature_K[i] = NaN;
        },
      }).length;
    expect(seen(10, 240)).toBe(1);
    expect(seen(10, 200)).toBe(1);
    expect(seen(10, 190)).toBe(0);
    // 30, 60, ... 240 are eight; 40, 80, ... 240 six.
    expect(seen(30, 240)).toBe(1);
    expect(seen(40, 240)).toBe(0);
    expect(seen(30, 210)).toBe(0);
  });

  it('leaves out samples without a pressure, and those of which it is not known that the circuit stands', () => {
    const [stop] = stops({
      change: (series, i, since_s) => {
        if (since_s === 100) series.suctionPressure_Pa[i] = NaN;
      },
      flag: (since_s) => (since_s === 200 ? 255 : undefined),
    });
    expect([...stop!.at_s]).not.toContain(100);
    expect([...stop!.at_s]).not.toContain(200);
    expect(stop!.at_s).toHaveLength(55);
  });

  it('follows a run that was seen, of two minutes at least', () => {
    expect(stops({ runs: 0 })).toEqual([]);
    expect(stops({ runs: 12 })).toHaveLength(1);
    expect(stops({ runs: 11 })).toEqual([]);
    expect(stops({ flag: (since_s) => (since_s === -10 ? 255 : undefined) })).toEqual([]);
  });
});

describe('a stop that says nothing of saturation against water', () => {
  const before = (of: (since_s: number) => number, runs = 200) =>
    stops({
      runs,
      change: (series, i, since_s) => {
        if (since_s < 0) series.suctionPressure_Pa[i] = of(-since_s);
      },
    }).length;

  it('follows a pressure drawn down to under 0.8 of what it was, in the last four minutes', () => {
    expect(before((since) => (since <= 60 ? 2.41e5 : 3e5))).toBe(1);
    expect(before((since) => (since <= 60 ? 2.39e5 : 3e5))).toBe(0);
    expect(before((since) => (since === 240 ? 2e5 : 3e5))).toBe(0);
    expect(before((since) => (since === 250 ? 2e5 : 3e5))).toBe(1);
  });

  it('is compared with the last quarter of an hour of running, not with an earlier load', () => {
    expect(before((since) => (since > 900 ? 4e5 : 3e5))).toBe(1);
    expect(before((since) => (since >= 600 ? 4e5 : 3e5))).toBe(1);
    expect(before((since) => (since >= 500 ? 4e5 : 3e5))).toBe(0);
  });

  it('is compared with itself where it ran for less than four minutes', () => {
    expect(before((since) => (since <= 60 ? 2.3e5 : 3e5), 20)).toBe(0);
    expect(before((since) => (since <= 60 ? 2.5e5 : 3e5), 20)).toBe(1);
  });

  it('follows running that warmed the water, or did not cool it by 0.1 K, in the last ten minutes', () => {
    const cooledBy = (of: (since_s: number) => number) =>
      stops({
        change: (series, i, since_s) => {
          if (since_s < 0) series.enteringWaterTemperature_K[i] = 280.15 + of(-since_s);
        },
      }).length;
    expect(cooledBy(() => -4)).toBe(0);
    expect(cooledBy(() => 0.09)).toBe(0);
    expect(cooledBy(() => 0.11)).toBe(1);
    expect(cooledBy(() => NaN)).toBe(1);
    expect(cooledBy((since) => (since > 600 ? -4 : 4))).toBe(1);
    expect(cooledBy((since) => (since > 290 ? -4 : 4))).toBe(0);
  });

  it('has its valve open for most of it, its first minute aside', () => {
    const opening = (of: (since_s: number) => number, stands = 25) =>
      stops({
        stands,
        change: (series, i, since_s) => {
          if (since_s >= 0) series.valveOpening_pct[i] = of(since_s);
        },
      }).length;
    expect(opening(() => 5)).toBe(1);
    expect(opening(() => 5.1)).toBe(0);
    expect(opening(() => NaN)).toBe(1);
    // Of 19 samples from 60 to 240 s, nine are open, or ten.
    expect(opening((since) => (since < 150 ? 50 : 0))).toBe(1);
    expect(opening((since) => (since < 160 ? 50 : 0))).toBe(0);
    // What comes after half an hour does not count.
    expect(opening((since) => (since > 1000 ? 50 : 0), 400)).toBe(1);
    expect(opening((since) => (since > 900 ? 50 : 0), 400)).toBe(0);
  });
});
