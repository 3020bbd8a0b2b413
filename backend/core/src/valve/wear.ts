import type { FleetWear, ValveWear } from '../steadiness/circuit-assessment.js';
import type { WindowJudgement } from '../steadiness/windows/window-judgement.js';

/** Travel in full strokes and reversals per day of observed time, and the share of the fleet that moves less. Null under half a day of openings. */
export function valveWearOf(windows: readonly WindowJudgement[], fleet?: FleetWear): ValveWear | null {
  let minutes = 0;
  let travel = 0;
  let reversals = 0;
  for (const { valve } of windows) {
    if (!valve) continue;
    minutes += valve.minutes;
    travel += valve.travel_strokes;
    reversals += valve.reversals;
  }
  const observedDays = minutes / 1440;
  if (observedDays < 0.5) return null;
  const travelPerDay = travel / observedDays;
  const reversalsPerDay = reversals / observedDays;
  return {
    travel_strokes_per_day: travelPerDay,
    reversals_per_day: reversalsPerDay,
    observedDays,
    fleetTravelPercentile: fractionBelow(fleet?.travel_strokes_per_day, travelPerDay),
    fleetReversalPercentile: fractionBelow(fleet?.reversals_per_day, reversalsPerDay),
  };
}

/** Share of the others under the value, equals counted half; null under five others. */
function fractionBelow(others: readonly number[] | undefined, value: number): number | null {
  const finite = (others ?? []).filter(Number.isFinite);
  if (finite.length < 5) return null;
  let below = 0;
  for (const other of finite) below += other < value ? 1 : other === value ? 0.5 : 0;
  return below / finite.length;
}
