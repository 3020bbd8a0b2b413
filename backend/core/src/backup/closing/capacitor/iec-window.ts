import type { Capacitance } from './discharge.js';

/** Fractions of the rated voltage between which IEC 62391-1 method 1A takes the capacitance. */
export const windowTop = 0.8;
export const windowBottom = 0.4;

/** A place on the curve between two samples. */
export interface CurvePoint {
  index: number;
  fraction: number;
}

/** First fall through `level`; `null` where the curve begins under it or never reaches it. */
export function crossing(
  voltage_V: ArrayLike<number>,
  level: number,
  start: number,
  end: number,
): CurvePoint | null {
  if (voltage_V[start]! < level) return null;
  for (let i = start + 1; i <= end; i++) {
    if (voltage_V[i]! > level) continue;
    const fall = voltage_V[i - 1]! - voltage_V[i]!;
    return { index: i - 1, fraction: fall > 0 ? (voltage_V[i - 1]! - level) / fall : 1 };
  }
  return null;
}

/** A column's value at a place between two samples. */
export const valueAt = (column: ArrayLike<number>, { index, fraction }: CurvePoint): number =>
  column[index]! + fraction * (column[index + 1]! - column[index]!);

/** Time between the two samples around a place. */
const spacingAt = (time_s: ArrayLike<number>, { index }: CurvePoint): number =>
  time_s[index + 1]! - time_s[index]!;

/**
 * C = Q / dU between two crossings. Each is read between two samples; the curve is straight there to about a tenth of
 * the spacing. Units: C, V, s, F.
 */
export function windowCapacitance(
  charge_C: number,
  swing_V: number,
  time_s: ArrayLike<number>,
  first: CurvePoint,
  second: CurvePoint,
): Capacitance {
  const capacitance_F = charge_C / swing_V;
  const duration_s = valueAt(time_s, second) - valueAt(time_s, first);
  const spacing_s = Math.max(spacingAt(time_s, first), spacingAt(time_s, second));
  return {
    capacitance_F,
    capacitanceUncertainty_F: (capacitance_F * 0.1 * Math.SQRT2 * spacing_s) / duration_s,
    method: 'iec-window',
  };
}
