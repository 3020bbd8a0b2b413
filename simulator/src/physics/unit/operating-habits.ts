import type { LocalTime } from './environment.js';

/** What a site's machine does beside plain cooling. Everything left out is not done. */
export interface OperatingHabits {
  /** A reversible unit heats between these local hours: the exchangers change roles, the sensors stay where they are. */
  reversed?: {
    from_h: number;
    hours: number;
    /**
     * Where the suction side is measured: both at the water exchanger's port, both at the compressor's inlet with the
     * thermometer at the port, or the pressure at the port with the thermometer at the compressor's inlet.
     */
    sensors: 'both-at-port' | 'pressure-at-compressor' | 'temperature-at-compressor';
    /** Outdoor coil defrosted by reversing the cycle for some minutes. */
    defrostEvery_h?: number;
    defrostMinutes?: number;
  };
  /** Hot gas through the evaporator, valve shut, compressor running. */
  hotGasDefrost?: { every_h: number; minutes: number };
  /** The valve shuts before each stop and the compressor empties the evaporator. */
  pumpDown?: boolean;
  /** Load so small that the unit runs and stops in turn. */
  cycling?: { runMinutes: number; stopMinutes: number };
}

/** What the habits ask for at a moment. */
export interface HabitNow {
  reversed: boolean;
  defrosting: 'no' | 'hot-gas' | 'reverse-cycle';
  /** The machine has to stand: between cycles, or while the four-way valve changes over. */
  stands: boolean;
}

const changeover_s = 300;

export function habitAt(habits: OperatingHabits | undefined, time_s: number, local: LocalTime): HabitNow {
  const now: HabitNow = { reversed: false, defrosting: 'no', stands: false };
  if (!habits) return now;
  const { reversed, hotGasDefrost, cycling } = habits;
  if (cycling) {
    const period_s = 60 * (cycling.runMinutes + cycling.stopMinutes);
    now.stands = ((time_s % period_s) + period_s) % period_s >= 60 * cycling.runMinutes;
  }
  if (reversed) {
    const since_s = 3600 * ((local.hour - reversed.from_h + 24) % 24);
    const length_s = 3600 * reversed.hours;
    now.reversed = since_s < length_s;
    if (since_s < changeover_s || (since_s >= length_s && since_s < length_s + changeover_s))
      now.stands = true;
    if (now.reversed && reversed.defrostEvery_h && since_s > changeover_s + 1200) {
      const phase_s = since_s % (3600 * reversed.defrostEvery_h);
      if (phase_s < 60 * (reversed.defrostMinutes ?? 6) && since_s > 3600) now.defrosting = 'reverse-cycle';
    }
  }
  if (hotGasDefrost && !now.reversed && time_s % (3600 * hotGasDefrost.every_h) < 60 * hotGasDefrost.minutes)
    now.defrosting = 'hot-gas';
  return now;
}
