/**
 * The expansion valve: how much refrigerant passes, and how its motor and stem move.
 */

/**
 * Mass flow of liquid through a fully open valve, kg/s: m = Kv sqrt(1000 rho dp[bar]) / 3600.
 * From memory: IEC 60534 liquid flow.
 *
 * @param kv_m3_h flow coefficient, m3/h of water at 1 bar
 * @param density_kg_m3 density of the liquid before the valve
 * @param drop_Pa pressure drop that drives the flow (limit it with `chokedDrop` where the liquid flashes)
 * @example openFlow(1, 1150, 7.2e5) // about 0.80 kg/s of R134a
 */
export function openFlow(kv_m3_h: number, density_kg_m3: number, drop_Pa: number): number {
  return drop_Pa <= 0 ? 0 : (kv_m3_h * Math.sqrt((1000 * density_kg_m3 * drop_Pa) / 1e5)) / 3600;
}

const recoveryFactor = 0.9;

/**
 * The drop beyond which flashing liquid passes no more: FL^2 (p1 - FF pv), FF = 0.96 - 0.28 sqrt(pv/pc).
 * From memory: IEC 60534-2-1 choked liquid flow, FL = 0.9.
 *
 * @param inlet_Pa pressure before the valve
 * @param bubble_Pa bubble pressure at the liquid's temperature
 * @param critical_Pa critical pressure
 */
export function chokedDrop(inlet_Pa: number, bubble_Pa: number, critical_Pa: number): number {
  const vapourPressure = Math.min(bubble_Pa, inlet_Pa);
  const ratio = 0.96 - 0.28 * Math.sqrt(vapourPressure / critical_Pa);
  return recoveryFactor * recoveryFactor * (inlet_Pa - ratio * vapourPressure);
}

/** Share of the full flow at an opening of 0..1: a needle a little finer near shut than straight. */
export function characteristic(opening: number): number {
  return opening <= 0 ? 0 : opening * (0.75 + 0.25 * opening);
}

/** Opening, %, at which a share of the full flow passes; 100 when the share is above one. */
export const openingFor = (share: number): number =>
  share >= 1 ? 100 : 100 * ((-0.75 + Math.sqrt(0.5625 + share)) / 0.5);

/** How the stem hangs behind the motor, percent of full stroke. */
export interface Friction {
  /** The stem stays until the motor is this far ahead. */
  stick_pct: number;
  /** What remains between them after the jump. */
  slip_pct: number;
  /** Play between motor and stem on a reversal. */
  backlash_pct: number;
}

export const noFriction: Friction = { stick_pct: 0, slip_pct: 0, backlash_pct: 0 };

/** Where the stem stands after the motor moved to `motor_pct`. */
export function stemAfter(stem_pct: number, motor_pct: number, friction: Friction): number {
  if (friction.stick_pct > 0) {
    const ahead = motor_pct - stem_pct;
    if (ahead > friction.stick_pct) return motor_pct - friction.slip_pct;
    if (ahead < -friction.stick_pct) return motor_pct + friction.slip_pct;
    return stem_pct;
  }
  const play = friction.backlash_pct / 2;
  if (play > 0) {
    if (stem_pct < motor_pct - play) return motor_pct - play;
    if (stem_pct > motor_pct + play) return motor_pct + play;
    return stem_pct;
  }
  return motor_pct;
}

/** Motor position after one second toward a target: whole steps, and no faster than the motor's rate. */
export function motorAfterSecond(position_steps: number, target_steps: number, rate_steps_s: number): number {
  const wanted = Math.round(target_steps) - position_steps;
  if (wanted > rate_steps_s) return position_steps + rate_steps_s;
  if (wanted < -rate_steps_s) return position_steps - rate_steps_s;
  return position_steps + wanted;
}
