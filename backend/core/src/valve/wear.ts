import type { FleetWear, ValveWear } from '../steadiness/circuit-assessment.js';
import type { WindowJudgement } from '../steadiness/windows/window-judgement.js';
import type { ValveEntry } from '../telemetry/registry.js';

/**
 * Life of a motor-driven expansion valve where the registry gives none: 100,000 times open and shut, and 5 million
 * changes of direction (common practice, no source).
 */
export const defaultRatedLife = { fullStrokes: 200_000, reversals: 5_000_000 } as const;

const year_days = 365.25;
/** Samples further apart than this miss moves, s: travel and reversals are then lower bounds. */
const coarse_s = 30;

export interface WearContext {
  fleet?: FleetWear | undefined;
  /** How long the valve has been in service; NaN: not known. */
  inServiceFor_s?: number;
}

/**
 * Travel in full strokes and reversals per day of observed time, held against the valve's rated life: how long it lasts
 * at this pace, and what is left of that if it has always moved so. Null under half a day of openings.
 */
export function valveWearOf(
  windows: readonly WindowJudgement[],
  valve: ValveEntry,
  { fleet, inServiceFor_s = NaN }: WearContext = {},
): ValveWear | null {
  let minutes = 0;
  let travel = 0;
  let reversals = 0;
  let coarseMinutes = 0;
  for (const { valve: use, interval_s } of windows) {
    if (!use) continue;
    minutes += use.minutes;
    travel += use.travel_strokes;
    reversals += use.reversals;
    if ((interval_s ?? Infinity) > coarse_s) coarseMinutes += use.minutes;
  }
  const observedDays = minutes / 1440;
  if (observedDays < 0.5) return null;
  const travelPerDay = travel / observedDays;
  const reversalsPerDay = reversals / observedDays;
  const rated = valve.ratedLife;
  const ratedByMaker = rated?.fullStrokes !== undefined || rated?.reversals !== undefined;
  // Of a maker who gives one of the two, the other is not guessed.
  const { fullStrokes, reversals: turns } = ratedByMaker ? rated! : defaultRatedLife;
  const life_years =
    Math.min((fullStrokes ?? Infinity) / travelPerDay, (turns ?? Infinity) / reversalsPerDay) / year_days;
  const service_years = inServiceFor_s / (year_days * 86_400);
  return {
    travel_strokes_per_day: travelPerDay,
    reversals_per_day: reversalsPerDay,
    observedDays,
    fleetTravelPercentile: fractionBelow(fleet?.travel_strokes_per_day, travelPerDay),
    fleetReversalPercentile: fractionBelow(fleet?.reversals_per_day, reversalsPerDay),
    life_years: Number.isFinite(life_years) ? life_years : null,
    left_years:
      Number.isFinite(life_years) && service_years >= 0 ? Math.max(0, life_years - service_years) : null,
    ratedStrokes: fullStrokes ?? null,
    ratedReversals: turns ?? null,
    ratedByMaker,
    lowerBound: coarseMinutes > minutes / 2,
  };
}

/** Fraction of the others under the value, equals counted half; null under five others. */
function fractionBelow(others: readonly number[] | undefined, value: number): number | null {
  const finite = (others ?? []).filter(Number.isFinite);
  if (finite.length < 5) return null;
  let below = 0;
  for (const other of finite) below += other < value ? 1 : other === value ? 0.5 : 0;
  return below / finite.length;
}
