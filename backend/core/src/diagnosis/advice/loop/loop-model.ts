/** Superheat as the valve's opening moves it: two lags with dead time, G(s) = K e^(-Ls)/((Ts + 1)(Hs + 1)). */
export interface LoopModel {
  /** K per percent of opening; under 0, as superheat falls when the valve opens. */
  gain_K_pct: number;
  lag_s: number;
  /** Of the thermometer, H. */
  thermometerLag_s: number;
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

/** A complex number, real and imaginary part. */
type Complex = [number, number];
const times = ([a, b]: Complex, [c, d]: Complex): Complex => [a * c - b * d, a * d + b * c];
/** 1/(1 + i x). */
const lagged = (x: number): Complex => [1 / (1 + x * x), -x / (1 + x * x)];

/** How much superheat falls for each percent of opening at an angular frequency, K. */
export function answer(model: LoopModel, omega: number): Complex {
  const late = omega * model.deadTime_s;
  const gain = -model.gain_K_pct;
  return times(
    times([gain * Math.cos(late), -gain * Math.sin(late)], lagged(omega * model.lag_s)),
    lagged(omega * model.thermometerLag_s),
  );
}

/** The open loop at an angular frequency; its gain is positive when the loop is closed right. */
export const openLoop = (model: LoopModel, control: LoopControl, omega: number): Complex =>
  times(answer(model, omega), [control.gain_pct_K, -control.gain_pct_K / (omega * control.integralTime_s)]);

/** Frequencies looked at, from slow against the integral time to where the dead time alone takes up more than half a period. */
function frequencies({ lag_s, deadTime_s }: LoopModel, integralTime_s: number): number[] {
  const high = (1.5 * Math.PI) / Math.max(deadTime_s, 0.02 * lag_s, 1e-3);
  const low = Math.min(0.02 / integralTime_s, high / 1000);
  return Array.from({ length: 200 }, (_, k) => low * (high / low) ** (k / 199));
}

/**
 * Gain at which the loop just swings on with an integral time, and the period of that swing; by the first frequency at
 * which the open loop comes to the negative real axis. Null where there is none.
 */
export function marginalLoop(
  model: LoopModel,
  integralTime_s: number,
): { gain_pct_K: number; period_s: number } | null {
  const grid = frequencies(model, integralTime_s);
  const at = (omega: number) => openLoop(model, { gain_pct_K: 1, integralTime_s }, omega);
  const isPast = ([real, imaginary]: Complex) => real < 0 && imaginary >= 0;
  const past = grid.findIndex((omega) => isPast(at(omega)));
  if (past < 0) return null;
  let [low, high] = [past === 0 ? grid[0] / 10 : grid[past - 1], grid[past]];
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (isPast(at(middle))) high = middle;
    else low = middle;
  }
  return { gain_pct_K: 1 / Math.hypot(...at(high)), period_s: (2 * Math.PI) / high };
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
 * The gain with which the loop, its integral time given, has the robustness of Skogestad's rule (S. Skogestad 2003, J.
 * Process Control 13:291: closed-loop time equal to the dead time, highest sensitivity 1.59). Null where no gain has it.
 *
 * @example steadyGain({ gain_K_pct: -1, lag_s: 40, thermometerLag_s: 0, deadTime_s: 10 }, 40) // 2.0: T/(2KL), the rule itself
 */
export function steadyGain(model: LoopModel, integralTime_s: number): number | null {
  const marginal = marginalLoop(model, integralTime_s);
  if (marginal === null) return null;
  let [low, high] = [0, marginal.gain_pct_K];
  for (let k = 0; k < 20; k++) {
    const middle = (low + high) / 2;
    if (highestSensitivity(model, { gain_pct_K: middle, integralTime_s }) > simcSensitivity) high = middle;
    else low = middle;
  }
  return low > 0.001 * marginal.gain_pct_K ? low : null;
}
