/** Superheat as the valve's opening moves it: first order with dead time, G(s) = K e^(-Ls)/(Ts + 1). */
export interface LoopModel {
  /** K per percent of opening; under 0, as superheat falls when the valve opens. */
  gain_K_pct: number;
  lag_s: number;
  deadTime_s: number;
}

/** Proportional and integral control of the opening: u = k (e + 1/Ti of its integral), e superheat over its setpoint. */
export interface LoopControl {
  /** Percent of opening per K. */
  gain_pct_K: number;
  integralTime_s: number;
}

/** Highest sensitivity that Skogestad's rule leaves with its recommended tuning (gain margin 3.14, phase margin 61 degrees). */
export const simcSensitivity = 1.59;

/** The open loop at an angular frequency, real and imaginary part; its gain is positive when the loop is closed right. */
export function openLoop(model: LoopModel, control: LoopControl, omega: number): [number, number] {
  const { lag_s } = model;
  const size =
    (Math.abs(model.gain_K_pct) * control.gain_pct_K * Math.hypot(1, 1 / (omega * control.integralTime_s))) /
    Math.hypot(1, omega * lag_s);
  const phase = phaseOf(model, control.integralTime_s, omega);
  return [size * Math.cos(phase), size * Math.sin(phase)];
}

const phaseOf = ({ lag_s, deadTime_s }: LoopModel, integralTime_s: number, omega: number): number =>
  -Math.atan(1 / (omega * integralTime_s)) - Math.atan(omega * lag_s) - omega * deadTime_s;

/** Frequencies looked at, from slow against the integral time to a phase of -180 degrees by the dead time alone. */
function frequencies({ lag_s, deadTime_s }: LoopModel, integralTime_s: number): number[] {
  const high = Math.PI / Math.max(deadTime_s, 0.02 * lag_s, 1e-3);
  const low = Math.min(0.02 / integralTime_s, high / 1000);
  return Array.from({ length: 400 }, (_, k) => low * (high / low) ** (k / 399));
}

/**
 * Gain at which the loop just swings on with its present integral time, and the period of that swing; by the first
 * frequency at which the phase is -180 degrees. Null where there is none.
 */
export function marginalLoop(
  model: LoopModel,
  integralTime_s: number,
): { gain_pct_K: number; period_s: number } | null {
  const grid = frequencies(model, integralTime_s);
  const past = grid.findIndex((omega) => phaseOf(model, integralTime_s, omega) <= -Math.PI);
  if (past < 0) return null;
  let [low, high] = [past === 0 ? grid[0] / 10 : grid[past - 1], grid[past]];
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (phaseOf(model, integralTime_s, middle) <= -Math.PI) high = middle;
    else low = middle;
  }
  const [real, imaginary] = openLoop(model, { gain_pct_K: 1, integralTime_s }, high);
  return { gain_pct_K: 1 / Math.hypot(real, imaginary), period_s: (2 * Math.PI) / high };
}

/** Highest amplification of a disturbance over all frequencies, 1/|1 + L|, for a loop under its marginal gain. */
export function highestSensitivity(model: LoopModel, control: LoopControl): number {
  let highest = 0;
  for (const omega of frequencies(model, control.integralTime_s)) {
    const [real, imaginary] = openLoop(model, control, omega);
    highest = Math.max(highest, 1 / Math.hypot(1 + real, imaginary));
  }
  return highest;
}

/**
 * The gain with which the loop, its integral time as it is, has the robustness of Skogestad's rule (S. Skogestad 2003, J.
 * Process Control 13:291: closed-loop time equal to the dead time, highest sensitivity 1.59). Null where no gain has it.
 *
 * @example steadyGain({ gain_K_pct: -1, lag_s: 40, deadTime_s: 10 }, 40) // 2.0: T/(2KL), the rule itself
 */
export function steadyGain(model: LoopModel, integralTime_s: number): number | null {
  const marginal = marginalLoop(model, integralTime_s);
  if (marginal === null) return null;
  let [low, high] = [0, marginal.gain_pct_K];
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (highestSensitivity(model, { gain_pct_K: middle, integralTime_s }) > simcSensitivity) high = middle;
    else low = middle;
  }
  return low > 0.001 * marginal.gain_pct_K ? low : null;
}
