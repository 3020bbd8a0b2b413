import { liquidDensity, valueOrNaN } from '../refrigerants/index.js';

/**
 * Flow of liquid through a valve, kg/s, by IEC 60534's equation m = Kv sqrt(1000 rho dp)/3600 (dp in bar), with Kv in
 * proportion to the opening, no flashing before the seat. An upper bound where the liquid flashes.
 */
export function valveFlow_kg_s(
  refrigerant: string,
  valve: { kv_m3_h: number; motors: number },
  opening_pct: number,
  liquid_K: number,
  difference_Pa: number,
): number {
  if (!(valve.kv_m3_h > 0 && difference_Pa > 0)) return NaN;
  const density = valueOrNaN(() => liquidDensity(refrigerant, liquid_K));
  const kv = (valve.motors * valve.kv_m3_h * opening_pct) / 100;
  return (kv * Math.sqrt((1000 * density * difference_Pa) / 1e5)) / 3600;
}
