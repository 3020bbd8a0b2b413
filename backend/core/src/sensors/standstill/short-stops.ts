import { median } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { stretchesOf } from '../running/running-state.js';

/** The first half hour of a stop, sample by sample, as far as it says something of saturation against water. */
export interface ShortStop {
  from_s: number;
  to_s: number;
  /** Time since the stop. */
  at_s: Float64Array;
  suctionPressure_Pa: Float64Array;
  waterTemperature_K: Float64Array;
}

/** Judgement, no source. */
const limits = {
  /** Shortest stop, and how much of it is looked at, s. */
  shortest_s: 240,
  longest_s: 1800,
  /** While the compressor runs out and the valve shuts nothing follows the water, s. */
  settling_s: 30,
  fewestSamples: 8,
  /** What must have run before, s: after a shorter run pressures were not where running puts them. */
  run_s: 120,
  /** A suction pressure that falls to under this fraction in the last minutes of running: the evaporator was emptied. */
  pumpedDown: 0.8,
  /** Water that enters warmer than it leaves by this much is being cooled, K: else the exchanger is no evaporator. */
  cooled_K: 0.1,
  /** A valve that stays open lets warm liquid in, so that the pressure follows the condenser, too. */
  shut_pct: 5,
};

/**
 * Stops after which the evaporator's pressure comes up to the saturation pressure at the temperature of its water: all
 * of four minutes or more, but for those before which the evaporator was emptied or the unit heated its water, and those
 * with the valve left open.
 */
export function shortStops(series: CircuitSeries, flags: Uint8Array): ShortStop[] {
  return stretchesOf(series, flags, 0, limits.shortest_s).flatMap(({ from, to }) => {
    if (from === 0 || flags[from - 1] !== 1) return [];
    if (heated(series, from) || pumpedDown(series, flags, from) || staysOpen(series, from, to)) return [];
    const stopped_s = series.time_s[from];
    const used: number[] = [];
    for (let i = from; i < to && series.time_s[i] - stopped_s <= limits.longest_s; i++) {
      if (series.time_s[i] - stopped_s < limits.settling_s || flags[i] !== 0) continue;
      if (Number.isFinite(series.suctionPressure_Pa[i] + series.leavingWaterTemperature_K[i])) used.push(i);
    }
    if (used.length < limits.fewestSamples) return [];
    const column = (values: Float64Array) => Float64Array.from(used, (i) => values[i]);
    const at_s = column(series.time_s).map((time_s) => time_s - stopped_s);
    if (at_s[at_s.length - 1] < limits.shortest_s * 0.8) return [];
    return [
      {
        from_s: stopped_s,
        to_s: series.time_s[used[used.length - 1]],
        at_s,
        suctionPressure_Pa: column(series.suctionPressure_Pa),
        waterTemperature_K: column(series.leavingWaterTemperature_K),
      },
    ];
  });
}

/** Whether the water was warmed by the unit before the stop; not where its two temperatures are not both sent. */
function heated(series: CircuitSeries, stop: number): boolean {
  const { time_s, enteringWaterTemperature_K, leavingWaterTemperature_K } = series;
  const cooled: number[] = [];
  for (let i = stop - 1; i >= 0 && time_s[stop] - time_s[i] <= 600; i--)
    cooled.push(enteringWaterTemperature_K[i] - leavingWaterTemperature_K[i]);
  return median(cooled) < limits.cooled_K;
}

/** Whether the suction pressure was drawn down before the stop, or there was too little running before it to say. */
function pumpedDown({ time_s, suctionPressure_Pa }: CircuitSeries, flags: Uint8Array, stop: number): boolean {
  const before: number[] = [];
  const last: number[] = [];
  let ran_s = 0;
  for (let i = stop - 1; i >= 0 && flags[i] !== 0; i--) {
    const since_s = time_s[stop] - time_s[i];
    if (since_s > 900) break;
    ran_s = since_s;
    (since_s > 240 ? before : last).push(suctionPressure_Pa[i]);
  }
  if (ran_s < limits.run_s) return true;
  const lowest = last.reduce((low, value) => (value < low ? value : low), Infinity);
  const usual = median(before.length > 0 ? before : last);
  return lowest < limits.pumpedDown * usual;
}

function staysOpen({ time_s, valveOpening_pct }: CircuitSeries, from: number, to: number): boolean {
  const openings: number[] = [];
  for (let i = from; i < to && time_s[i] - time_s[from] <= limits.longest_s; i++)
    if (time_s[i] - time_s[from] >= 60) openings.push(valveOpening_pct[i]);
  return median(openings) > limits.shut_pct;
}
