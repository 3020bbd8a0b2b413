import { saturationCurve } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';

/** No compressor runs on so little, W; more may be its standby. */
const idle_W = 5;
/** Least load of a compressor that runs, %. Common practice, no source. */
const standby_pct = 5;
/** Pressures within this ratio are equal: nothing is pumped from one to the other. Judgement, no source. */
const equal = 1.05;
/** Saturation on the suction side over which nothing that cools water evaporates, K. Judgement, no source. */
const warmest_K = 287.15;
/** A discharge no warmer than this over its saturation, and water cooled by no more than that, are of a circuit at rest, K. Judgement, no source. */
const rest = { discharge_K: 3, water_K: 0.3 };

/**
 * Whether the compressor runs at each sample: 1 yes, 0 no, 255 not known. By its load over 5 % or none: no compressor is
 * made to run on less, so that it is then a standby value, a number of stages, or percent sent as a fraction. Without
 * such a load it stands where it draws no power, and else by a ratio of the two pressures over 1.15, whichever is the
 * higher, together with a valve over 1 % open where that is sent; failing the pressures, by the valve alone; failing that,
 * by a load over 1 %. Where none of these is sent it is not known, but for a suction pressure whose saturation no
 * evaporator of a chiller has: then it stands.
 *
 * A check valve, or an evaporator and a condenser at unlike temperatures, hold the pressures apart for as long as a stop
 * lasts. So where neither load nor valve says that it runs, a discharge at the temperature of its own saturation beside
 * water that is not cooled is a circuit at rest; a compressor that takes in liquid discharges no hotter, but its water is cooled.
 *
 * What is sent as load may be a limit or a constant, which stays at stops. So a circuit with equal pressures whose water
 * is not cooled stands whatever its load says, and so does one with its valve shut that draws no power, or whose water is
 * not cooled where power is not sent.
 *
 * @param refrigerant for the saturation of the discharge; left out, the discharge is not looked at
 */
export function runningSamples(series: CircuitSeries, refrigerant?: string): Uint8Array {
  const n = series.time_s.length;
  const runs = new Uint8Array(n).fill(255);
  const dew = refrigerant === undefined ? () => NaN : saturationCurve(refrigerant, 'dew').temperature;
  for (let i = 0; i < n; i++) {
    const load = series.compressorLoad_pct[i];
    if (load > standby_pct || load <= 0) {
      runs[i] = load > 0 && !standsWhateverItsLoad(series, i) ? 1 : 0;
      continue;
    }
    if (series.compressorPower_W[i] < idle_W) {
      runs[i] = 0;
      continue;
    }
    const opening = series.valveOpening_pct[i];
    const ratio = series.dischargePressure_Pa[i] / series.suctionPressure_Pa[i];
    if (Number.isFinite(ratio)) {
      const apart = (ratio > 1.15 || ratio < 1 / 1.15) && !(opening <= 1);
      runs[i] = apart && (Number.isFinite(opening) || !rests(series, i, dew)) ? 1 : 0;
    } else if (Number.isFinite(opening)) runs[i] = opening > 1 ? 1 : 0;
    else if (load > 0) runs[i] = load > 1 ? 1 : 0;
    else if (isWarm(dew(series.suctionPressure_Pa[i]), series, i)) runs[i] = 0;
  }
  return runs;
}

function standsWhateverItsLoad(series: CircuitSeries, i: number): boolean {
  const ratio = series.dischargePressure_Pa[i] / series.suctionPressure_Pa[i];
  // Water that is cooled beside equal pressures shows that the pressures are not what they seem.
  if (ratio < equal && ratio > 1 / equal && !(cooledBy_K(series, i) > rest.water_K)) return true;
  if (!(series.valveOpening_pct[i] <= 1)) return false;
  const power_W = series.compressorPower_W[i];
  return Number.isFinite(power_W) ? power_W < idle_W : cooledBy_K(series, i) <= rest.water_K;
}

/** By how much the water's two temperatures differ, K. */
const cooledBy_K = (series: CircuitSeries, i: number): number =>
  Math.abs(series.enteringWaterTemperature_K[i] - series.leavingWaterTemperature_K[i]);

/** Warmer no chiller evaporates, and no closer to the water that it cools while it stands still at one temperature. */
function isWarm(saturation_K: number, series: CircuitSeries, i: number): boolean {
  const cooled_K = series.enteringWaterTemperature_K[i] - series.leavingWaterTemperature_K[i];
  return saturation_K > warmest_K && !(cooled_K > rest.water_K);
}

function rests(series: CircuitSeries, i: number, dew: (pressure_Pa: number) => number): boolean {
  return (
    cooledBy_K(series, i) <= rest.water_K &&
    series.dischargeTemperature_K[i] <= dew(series.dischargePressure_Pa[i]) + rest.discharge_K
  );
}
