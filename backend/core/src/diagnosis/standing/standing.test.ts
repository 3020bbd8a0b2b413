import { describe, expect, it } from 'vitest';
import { stopsOf as stopsAndEdges, stopsOfWindows, type Stop } from '../../normal/plateaus/stops.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { saturated } from '../causes/sample-channels.js';
import { sliceSeries } from '../unit/circuit-findings-of.js';
import { leakByFinding } from './leak-by.js';
import { swappedBetweenCircuits } from './swapped-between-circuits.js';

const step_s = 10;
const start_s = 1_700_000_000;
const stopsOf = (series: CircuitSeries, refrigerant: string) => stopsAndEdges(series, refrigerant).stops;

/**
 * Two hours of running and half an hour of standing, again and again. After a stop the condenser cools from 315 K towards
 * its water of 300 K and the evaporator warms from 277 K towards its water of 283 K; a leak brings both together besides.
 */
function stopping(cycles: number, leak_s = Infinity): CircuitSeries {
  const perCycle = 9000 / step_s;
  const series = emptyCircuitSeries(cycles * perCycle);
  for (let i = 0; i < series.time_s.length; i++) {
    const within = (i % perCycle) * step_s;
    const standing = within - 7200;
    const stands = standing >= 0;
    const own = stands ? 1 : 0;
    const condensing = 300 + 15 * (stands ? Math.exp(-standing / 1500) : 1);
    const evaporating = 283 - 6 * (stands ? Math.exp(-standing / 200) : 1);
    const meet = stands ? Math.exp(-standing / leak_s) : 1;
    series.time_s[i] = start_s + i * step_s;
    series.compressorLoad_pct[i] = 70 * (1 - own);
    series.valveOpening_pct[i] = 40 * (1 - own);
    series.dischargePressure_Pa[i] = saturated(evaporating + (condensing - evaporating) * meet);
    series.suctionPressure_Pa[i] = saturated(evaporating);
    series.condenserEnteringTemperature_K[i] = 300;
    series.leavingWaterTemperature_K[i] = 283;
  }
  return series;
}

describe('stops of a circuit', () => {
  it('have what is left of the difference of their saturation temperatures, less what the waters hold apart', () => {
    const stops = stopsOf(stopping(4), 'R134a');
    // The last one has not lasted till the end of the record; of the others: 17 K stay.
    expect(stops).toHaveLength(4);
    const apart = (t: number) => 15 * Math.exp(-t / 1500) + 6 * Math.exp(-t / 200);
    for (const { left } of stops) expect(left).toBeCloseTo(apart(600) / apart(60), 2);
  });

  it('are none where the valve stays open, the stop is short, or no load is sent', () => {
    const open = stopping(2);
    open.valveOpening_pct.fill(40);
    expect(stopsOf(open, 'R134a')).toEqual([]);
    const blind = stopping(2);
    blind.compressorLoad_pct.fill(NaN);
    expect(stopsOf(blind, 'R134a')).toEqual([]);
    const short = stopping(2);
    const end = 7200 / step_s + 500 / step_s;
    short.compressorLoad_pct.fill(70, end);
    expect(stopsOf(short, 'R134a')).toHaveLength(0);
  });

  it('are seen where a window begins with one, if the window before ended running', () => {
    const series = stopping(2);
    // The compressor stops at 7200 s, where the second window begins.
    const [first, second] = [0, 7200].map((from_s) =>
      stopsAndEdges(sliceSeries(series, start_s + from_s, start_s + from_s + 7200), 'R134a'),
    );
    expect(first!.stops).toEqual([]);
    expect(second!.atStart).toEqual(stopsOf(series, 'R134a').slice(0, 1));
    expect(stopsOfWindows([first!, second!])).toEqual(second!.atStart);
    // It stood before, or nothing is known of that.
    expect(stopsOfWindows([{ ...first!, ranUntil_s: null }, second!])).toEqual([]);
    expect(stopsOfWindows([second!])).toEqual([]);
  });

  it('leave less where the shut valve leaks by', () => {
    const [tight] = stopsOf(stopping(2), 'R134a');
    const [leaking] = stopsOf(stopping(2, 900), 'R134a');
    expect(leaking!.left).toBeLessThan(tight!.left - 0.3);
  });
});

describe('pressures that meet faster than they did', () => {
  const stops = (count: number, left: number, scatter: number): Stop[] =>
    Array.from({ length: count }, (_, i) => ({ at_s: 1000 * i, left: left + scatter * Math.sin(2.4 * i) }));

  it('are said with what was and what is left', () => {
    const found = leakByFinding(stops(20, 0.7, 0.05), stops(6, 0.3, 0.05), 2)!;
    expect(found.condition).toBe('pressures-meet-fast');
    expect(found.subject).toEqual({ kind: 'circuit', circuit: 2 });
    expect(found.headline.quantities.now!.value).toBeCloseTo(0.3, 1);
    expect(found.headline.quantities.before!.value).toBeCloseTo(0.7, 1);
    expect(found.certainty).toBe('certain');
  });

  it('are not said within the scatter, the other way, or from few stops', () => {
    expect(leakByFinding(stops(20, 0.7, 0.3), stops(6, 0.6, 0.3), 1)).toBeNull();
    expect(leakByFinding(stops(20, 0.3, 0.05), stops(6, 0.7, 0.05), 1)).toBeNull();
    expect(leakByFinding(stops(4, 0.7, 0.05), stops(6, 0.2, 0.05), 1)).toBeNull();
    expect(leakByFinding(stops(20, 0.7, 0.05), stops(2, 0.2, 0.05), 1)).toBeNull();
  });

  it('are not said for one odd stop among many', () => {
    const odd = stops(8, 0.7, 0.05);
    odd[7] = { at_s: 8000, left: 0 };
    expect(leakByFinding(stops(20, 0.7, 0.05), odd, 1)).toBeNull();
  });
});

/** Two circuits that run by turns, two hours each with an hour of both between; one's hot gas is 335 K, a standing one's 300 K. */
function byTurns(hours: number): [CircuitSeries, CircuitSeries] {
  const n = (hours * 3600) / 60;
  const both = [emptyCircuitSeries(n), emptyCircuitSeries(n)] as [CircuitSeries, CircuitSeries];
  for (let i = 0; i < n; i++) {
    const hour = Math.floor(i / 60) % 6;
    const runs = [hour < 3, hour > 1 && hour < 5];
    both.forEach((series, c) => {
      series.time_s[i] = 1_700_000_000 + 60 * i;
      series.compressorLoad_pct[i] = runs[c] ? 60 : 0;
      series.dischargeTemperature_K[i] = runs[c] ? 335 : 300;
      series.dischargePressure_Pa[i] = saturated(runs[c] ? 315 : 300);
      series.suctionPressure_Pa[i] = saturated(runs[c] ? 277 : 284);
    });
  }
  return both;
}
const numbers = [{ number: 1 }, { number: 2 }];

describe('sensors swapped between two circuits', () => {
  it('are told by which circuit runs', () => {
    const [first, second] = byTurns(48);
    const swapped: [CircuitSeries, CircuitSeries] = [
      { ...first, dischargeTemperature_K: second.dischargeTemperature_K },
      { ...second, dischargeTemperature_K: first.dischargeTemperature_K },
    ];
    const [found, ...others] = swappedBetweenCircuits(swapped, numbers, 'R134a');
    expect(others).toEqual([]);
    expect(found!.subject).toEqual({ kind: 'sensor', circuit: 1, sensor: 'discharge-temperature' });
    expect(found!.headline.quantities).toMatchObject({ circuit: { value: 1 }, other: { value: 2 } });
    expect(found!.reasons[0]!.quantities.share!.value).toBeGreaterThan(0.95);
  });

  it('are none where each is on its own circuit', () => {
    expect(swappedBetweenCircuits(byTurns(48), numbers, 'R134a')).toEqual([]);
  });

  it('are not told where both always run together, or where the loads may be swapped instead', () => {
    const [first, second] = byTurns(48);
    const together = first.compressorLoad_pct.map(() => 60);
    expect(
      swappedBetweenCircuits(
        [
          { ...first, compressorLoad_pct: together },
          { ...second, compressorLoad_pct: together },
        ],
        numbers,
        'R134a',
      ),
    ).toEqual([]);
    expect(
      swappedBetweenCircuits(
        [
          { ...first, compressorLoad_pct: second.compressorLoad_pct },
          { ...second, compressorLoad_pct: first.compressorLoad_pct },
        ],
        numbers,
        'R134a',
      ),
    ).toEqual([]);
  });
});
