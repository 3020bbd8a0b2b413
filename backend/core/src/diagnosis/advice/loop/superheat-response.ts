/** What superheat makes of the opening, with the level that goes with a record. */
export interface Response {
  /** K less for each percent of opening. */
  gain_K_pct: number;
  lag_s: number;
  thermometerLag_s: number;
  deadTime_s: number;
  /** Superheat of the vapour at the mean opening, at the middle of the record, and its change from end to end. */
  level_K: number;
  drift_K: number;
}

/** A record at even times. */
export interface EvenRecord {
  step_s: number;
  period_s: number;
  superheat_K: Float64Array;
  opening_pct: Float64Array;
  /** Superheat does not fall under this: liquid reaches the outlet. */
  floor_K: number;
}

/**
 * Superheat as the thermometer shows it, at the samples of an opening: dead time, then a lag in which superheat does not fall
 * under its floor, then the thermometer's lag. The delayed opening goes straight from one sample to the next; each step is
 * done in some parts.
 */
export function respond(
  response: Response,
  record: EvenRecord,
  meanOpening_pct: number,
  parts: number,
): Float64Array {
  const { gain_K_pct, level_K, drift_K } = response;
  const { opening_pct, superheat_K, floor_K, step_s } = record;
  const n = opening_pct.length;
  const shown = new Float64Array(n);
  const part_s = step_s / parts;
  const keep = Math.exp(-part_s / response.lag_s);
  const keepShown = Math.exp(-part_s / response.thermometerLag_s);
  const delay = response.deadTime_s / step_s;
  let [vapour, thermometer] = [superheat_K[0], superheat_K[0]];
  shown[0] = thermometer;
  for (let i = 1; i < n; i++) {
    const steady = level_K + drift_K * (i / n - 0.5);
    for (let k = 1; k <= parts; k++) {
      const drive = at(opening_pct, i - 1 + (k - 0.5) / parts - delay) - meanOpening_pct;
      vapour = keep * vapour + (1 - keep) * (steady - gain_K_pct * drive);
      if (vapour < floor_K) vapour = floor_K;
      thermometer = keepShown * thermometer + (1 - keepShown) * vapour;
    }
    shown[i] = thermometer;
  }
  return shown;
}

function at(values: Float64Array, place: number): number {
  if (place <= 0) return values[0];
  const low = Math.floor(place);
  const share = place - low;
  return share === 0 ? values[low] : values[low] * (1 - share) + values[low + 1] * share;
}
