import { liquidDensity, saturationTemperature } from '../../refrigerants/index.js';
import type { CircuitEntry } from '../../telemetry/index.js';
import type { CircuitAroundLoss } from './power-loss-review.js';

/**
 * Upper bound of the refrigerant that can have passed through what stayed open: liquid all the way, as dense as it can
 * be between the two pressures, with no flashing in the valve, which would only choke it, at the full measured pressure
 * difference:
 *
 *   m = integral of motors * (opening/100) * Kv * sqrt(1000 rho dp[bar]) / 3600 dt   (IEC 60534, MEMORY)
 *
 * kg, with Kv in m3/h of one valve and rho of saturated liquid at the low pressure, the coldest that it can be. `null`
 * where pressures or the Kv are missing. Differences seen only now and then are carried forward, which overstates a falling one.
 *
 * @example greatestPassed_kg(entry, around, loss.from_s, restart_s, 30, 3e5)
 */
export function greatestPassed_kg(
  entry: CircuitEntry,
  seen: CircuitAroundLoss,
  from_s: number,
  to_s: number,
  opening_pct: number | null,
  lowPressure_Pa: number | null,
): number | null {
  if (opening_pct === 0) return 0;
  // A Kv of 0 stands for one that is not known.
  if (opening_pct === null || lowPressure_Pa === null || entry.valve.kv_m3_h === 0) return null;
  const density = densityAt(seen.refrigerant, lowPressure_Pa);
  if (density === null) return null;
  const { series } = seen;
  const kv = entry.valve.motors * (opening_pct / 100) * entry.valve.kv_m3_h;
  let mass_kg = 0;
  let difference_Pa = NaN;
  let last_s = from_s;
  for (let i = 0; i < series.time_s.length && last_s < to_s; i++) {
    const t = Math.min(to_s, series.time_s[i]!);
    if (t > from_s && difference_Pa > 0)
      mass_kg += (kv * Math.sqrt(1000 * density * (difference_Pa / 1e5)) * (t - last_s)) / 3600;
    const now_Pa = series.dischargePressure_Pa[i]! - series.suctionPressure_Pa[i]!;
    if (Number.isFinite(now_Pa)) difference_Pa = Math.max(0, now_Pa);
    last_s = Math.max(from_s, t);
  }
  return Number.isNaN(difference_Pa) ? null : mass_kg;
}

function densityAt(refrigerant: string, pressure_Pa: number): number | null {
  try {
    return liquidDensity(refrigerant, saturationTemperature(refrigerant, pressure_Pa, 'bubble'));
  } catch {
    // Outside the tables (a transducer gone wrong, or over the critical point) nothing can be said.
    return null;
  }
}
