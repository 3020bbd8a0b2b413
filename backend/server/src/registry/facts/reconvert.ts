import { refrigerantNames } from '@coldrounds/core/refrigerants';
import { saturationColumn } from '@coldrounds/core/telemetry';
import { standardAtmospherePressure_Pa } from '@coldrounds/core/units';
import type { CircuitFacts, FactsTimeline } from '../../storage/fleet.js';
import { factsAt } from './timeline.js';

/** What of a circuit's reading hangs on the registry; temperatures dew side at suction, bubble side at discharge. */
export interface ConvertedPressures {
  suctionPressure_Pa: Float64Array;
  dischargePressure_Pa: Float64Array;
  suctionSaturation_K: Float64Array;
  dischargeSaturation_K: Float64Array;
}

type Side = 'suctionPressure' | 'dischargePressure';

/** What a reading was added to become absolute, Pa. */
const added_Pa = ({ entry, altitude_m }: CircuitFacts, side: Side): number =>
  entry[side].reference === 'gauge' ? standardAtmospherePressure_Pa(altitude_m) : 0;

/**
 * Readings that were converted by what `from` says of their times, as they are by what `to` says: absolute pressures for
 * gauge or absolute transducers at the site's height, and saturation temperatures of the refrigerant. NaN stays NaN.
 */
export function reconverted(
  time_s: Float64Array,
  suctionPressure_Pa: Float64Array,
  dischargePressure_Pa: Float64Array,
  from: FactsTimeline,
  to: FactsTimeline,
): ConvertedPressures {
  const result: ConvertedPressures = {
    suctionPressure_Pa: Float64Array.from(suctionPressure_Pa),
    dischargePressure_Pa: Float64Array.from(dischargePressure_Pa),
    suctionSaturation_K: new Float64Array(time_s.length).fill(NaN),
    dischargeSaturation_K: new Float64Array(time_s.length).fill(NaN),
  };
  for (let start = 0; start < time_s.length;) {
    const [before, after] = [factsAt(from, time_s[start]), factsAt(to, time_s[start])];
    let end = start + 1;
    while (end < time_s.length && factsAt(from, time_s[end]) === before && factsAt(to, time_s[end]) === after)
      end++;
    convertRun(result, start, end, before, after);
    start = end;
  }
  return result;
}

function convertRun(
  result: ConvertedPressures,
  start: number,
  end: number,
  before: CircuitFacts,
  after: CircuitFacts,
): void {
  for (const side of ['suctionPressure', 'dischargePressure'] as const) {
    const pressures = result[`${side}_Pa`].subarray(start, end);
    const shift_Pa = added_Pa(after, side) - added_Pa(before, side);
    for (let i = 0; i < pressures.length; i++) pressures[i] += shift_Pa;
  }
  if (!refrigerantNames().includes(after.refrigerant)) return;
  const saturation = (pressure_Pa: Float64Array, side: 'dew' | 'bubble') =>
    saturationColumn(after.refrigerant, pressure_Pa.subarray(start, end), side);
  result.suctionSaturation_K.set(saturation(result.suctionPressure_Pa, 'dew'), start);
  result.dischargeSaturation_K.set(saturation(result.dischargePressure_Pa, 'bubble'), start);
}
