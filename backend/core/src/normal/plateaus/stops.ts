import { runningSamples } from '../../modes/running.js';
import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { firstAtOrAfter } from './find-plateaus.js';

/** How the pressures of a circuit came together after it stopped. */
export interface Stop {
  at_s: number;
  /**
   * Difference of the two saturation temperatures ten minutes after the stop over that after one minute, both less what
   * stays between the condenser's and the evaporator's surroundings: 1 where nothing moved, 0 where only these hold them
   * apart, under 0 where they are closer than that.
   */
  left: number;
}

const early_s = 60;
const late_s = 600;
/** Half of the time about each over which pressures are averaged. */
const about_s = 30;
/** A valve over this was not shut. */
const shut_pct = 1;
/** Saturation temperatures that are closer than this after a minute tell nothing. */
const leastApart_K = 8;

/**
 * The stops of a circuit that lasted eleven minutes or more, its valve shut where its opening is sent. Needs the compressor's
 * load: by pressures alone a stop whose pressures stay apart cannot be told from running.
 * @throws UnknownRefrigerantError.
 */
export function stopsOf(series: CircuitSeries, refrigerant: string): Stop[] {
  const { time_s, compressorLoad_pct: load } = series;
  if (!load.some(Number.isFinite)) return [];
  const runs = runningSamples(series, refrigerant);
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const stops: Stop[] = [];
  for (let i = 1; i < time_s.length; i++) {
    if (!(runs[i - 1] === 1 && runs[i] === 0)) continue;
    const last = firstAtOrAfter(time_s, time_s[i] + late_s + about_s);
    if (last >= time_s.length || !runs.subarray(i, last + 1).every((run) => run === 0)) continue;
    const at = (after_s: number, of: (k: number) => number) => {
      const from = firstAtOrAfter(time_s, time_s[i] + after_s - about_s);
      const to = firstAtOrAfter(time_s, time_s[i] + after_s + about_s + 1e-6);
      return meanOf(Array.from({ length: to - from }, (_, k) => of(from + k)));
    };
    if (at(late_s, (k) => series.valveOpening_pct[k]) > shut_pct) continue;
    const apart = (k: number) => dew(series.dischargePressure_Pa[k]) - dew(series.suctionPressure_Pa[k]);
    const stays = at(late_s, (k) => surroundings(series, k));
    const rest = Number.isFinite(stays) ? stays : 0;
    const [before, after] = [at(early_s, apart) - rest, at(late_s, apart) - rest];
    if (before >= leastApart_K && Number.isFinite(after))
      stops.push({ at_s: time_s[i], left: after / before });
  }
  return stops;
}

/** What the condenser is cooled by, or the ambient, less the chilled water: how far apart the sides stay by themselves. */
function surroundings(series: CircuitSeries, k: number): number {
  const entering = series.condenserEnteringTemperature_K[k];
  const warm = Number.isFinite(entering) ? entering : series.ambientTemperature_K[k];
  return warm - series.leavingWaterTemperature_K[k];
}

function meanOf(values: readonly number[]): number {
  const there = values.filter(Number.isFinite);
  return there.length === 0 ? NaN : there.reduce((sum, value) => sum + value, 0) / there.length;
}
