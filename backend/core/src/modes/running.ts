import { saturationCurve } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';

/** No compressor runs on so little, W; more may be its standby. */
const idle_W = 5;
/** Saturation on the suction side over which nothing that cools water evaporates, K. Judgement, no source. */
const warmest_K = 287.15;
/** A discharge no warmer than this over its saturation, and water cooled by no more than that, are of a circuit at rest, K. Judgement, no source. */
const rest = { discharge_K: 3, water_K: 0.3 };

/**
 * Whether the compressor runs at each sample: 1 yes, 0 no, 255 not known. By its load over 1 % or none; without such a load it
 * stands where it draws no power, and else by a ratio of the two pressures over 1.15, whichever is the higher, together
 * with a valve over 1 % open where that is sent; failing the pressures, by the valve alone. Where none of these is sent it
 * is not known, but for a suction pressure whose saturation no evaporator of a chiller has: then it stands.
 *
 * A check valve, or an evaporator and a condenser at unlike temperatures, hold the pressures apart for as long as a stop
 * lasts. So where neither load nor valve says that it runs, a discharge at the temperature of its own saturation beside
 * water that is not cooled is a circuit at rest; a compressor that takes in liquid discharges no hotter, but its water is cooled.
 *
 * @param refrigerant for the saturation of the discharge; left out, the discharge is not looked at
 */
export function runningSamples(series: CircuitSeries, refrigerant?: string): Uint8Array {
  const n = series.time_s.length;
  const runs = new Uint8Array(n).fill(255);
  const dew = refrigerant === undefined ? () => NaN : saturationCurve(refrigerant, 'dew').temperature;
  for (let i = 0; i < n; i++) {
    const load = series.compressorLoad_pct[i];
    // Between the two it is a standby value, or percent sent as a fraction: the other signals tell.
    if (load > 1 || load <= 0) {
      runs[i] = load > 1 ? 1 : 0;
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
    else if (load > 0) runs[i] = 0;
    else if (isWarm(dew(series.suctionPressure_Pa[i]), series, i)) runs[i] = 0;
  }
  return runs;
}

/** Warmer no chiller evaporates, and no closer to the water that it cools while it stands still at one temperature. */
function isWarm(saturation_K: number, series: CircuitSeries, i: number): boolean {
  const cooled_K = series.enteringWaterTemperature_K[i] - series.leavingWaterTemperature_K[i];
  return saturation_K > warmest_K && !(cooled_K > rest.water_K);
}

function rests(series: CircuitSeries, i: number, dew: (pressure_Pa: number) => number): boolean {
  const cooled_K = Math.abs(series.enteringWaterTemperature_K[i] - series.leavingWaterTemperature_K[i]);
  return (
    cooled_K <= rest.water_K &&
    series.dischargeTemperature_K[i] <= dew(series.dischargePressure_Pa[i]) + rest.discharge_K
  );
}
