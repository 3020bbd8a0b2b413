import { fitLinear, standardError } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import {
  middleSaturation,
  systematic,
  type PressureReading,
  type WaterOffset,
} from '../standstill/saturation-against-water.js';
import { medianOf } from './running-state.js';

/** Judgement, no source. */
const limits = {
  bin_pct: 10,
  fewestBins: 3,
  /** Lowest load that must be seen, and the range of loads, %. */
  lowest_pct: 40,
  range_pct: 25,
  samplesPerBin: 30,
  /**
   * Boiling improves with heat flux, so that the approach falls less than in proportion to load and the line meets no
   * load above zero: half-width of that, K.
   */
  curvature_K: 1.5,
};

/**
 * Leaving water less saturation temperature goes to zero with load, because what flows through the evaporator's area
 * does. The line of the approach over load, extrapolated to no load, leaves the error of the pressure reading: the
 * saturation that is read lies over the water by `offset_K` there. Null where loads low enough and wide enough apart
 * were not seen.
 */
export function offsetAtLowLoad(
  series: CircuitSeries,
  running: readonly number[],
  reading: PressureReading,
): WaterOffset | null {
  const saturation = middleSaturation(reading);
  const bins = new Map<number, { load: number[]; over: number[] }>();
  const pressures: number[] = [];
  for (const i of running) {
    const load = series.compressorLoad_pct[i];
    const over_K = saturation(series.suctionPressure_Pa[i]) - series.leavingWaterTemperature_K[i];
    if (!Number.isFinite(load + over_K)) continue;
    const key = Math.floor(load / limits.bin_pct);
    const bin = bins.get(key) ?? { load: [], over: [] };
    bin.load.push(load);
    bin.over.push(over_K);
    bins.set(key, bin);
    pressures.push(series.suctionPressure_Pa[i]);
  }
  const used = [...bins.values()]
    .filter(({ load }) => load.length >= limits.samplesPerBin)
    .map(({ load, over }) => ({ load: medianOf(load), over_K: medianOf(over) }))
    .sort((a, b) => a.load - b.load);
  if (used.length < limits.fewestBins || used[0].load > limits.lowest_pct) return null;
  if (used[used.length - 1].load - used[0].load < limits.range_pct) return null;
  const fit = fitLinear(
    [Float64Array.from(used, () => 1), Float64Array.from(used, ({ load }) => load)],
    Float64Array.from(used, ({ over_K }) => over_K),
  );
  if (!fit || !(fit.coefficients[1] < 0)) return null;
  return {
    offset_K: fit.coefficients[0],
    uncertainty_K: Math.hypot(
      standardError(fit, 0),
      limits.curvature_K / Math.sqrt(3),
      systematic(reading, medianOf(pressures)),
    ),
    stops: 0,
    lag_s: null,
  };
}
