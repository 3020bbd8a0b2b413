import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { pressuresAreReversed } from './pressures-are-reversed.js';

/** A day of R134a: 3 bar and 10 bar while running, 5 bar on both sides in the last quarter, which is a stop. */
function day(change: (row: number, pressures: [number, number]) => [number, number] = (_, both) => both) {
  const series = emptyCircuitSeries(720);
  for (let k = 0; k < 720; k++) {
    const runs = k < 540;
    series.time_s[k] = k * 120;
    series.compressorLoad_pct[k] = runs ? 70 : 0;
    const [suction, discharge] = change(k, runs ? [3e5, 10e5] : [5e5, 5e5]);
    series.suctionPressure_Pa[k] = suction;
    series.dischargePressure_Pa[k] = discharge;
  }
  return series;
}
const reversed = (series: CircuitSeries) => pressuresAreReversed(series, 'R134a');

// That a compressor raises the pressure: common practice, no source.
describe('pressures of a circuit', () => {
  it('are reversed where suction is over discharge pressure while it runs, all the time or since a rewiring today', () => {
    expect(reversed(day((_, [suction, discharge]) => [discharge, suction]))).toBe(true);
    expect(
      reversed(day((k, [suction, discharge]) => (k < 400 ? [suction, discharge] : [discharge, suction]))),
    ).toBe(true);
  });

  it('are not reversed as wired, at a stop, for some moments, nor where one is not sent', () => {
    expect(reversed(day())).toBe(false);
    expect(reversed(day((k, both) => (k < 540 ? both : [6e5, 5e5])))).toBe(false);
    expect(
      reversed(
        day((k, [suction, discharge]) => (k % 20 === 0 ? [discharge, suction] : [suction, discharge])),
      ),
    ).toBe(false);
    expect(reversed(day((_, [suction]) => [suction, NaN]))).toBe(false);
  });
});
