import { fitLinear, mean } from '../../../numerics/index.js';
import type { LoopControl } from './loop-model.js';

/** Share of the opening's variance that the controller must explain. */
const leastExplained = 0.7;
/** An opening this near to its highest or lowest value, twice in a row, is held there by a limit. */
const atLimit_pct = 0.15;
/** Samples in a row between two stays at a limit under which nothing is taken from them. */
const leastRun = 3;

/** A filter, the controller's own cycle and the motor delay the opening by some seconds: 0 to 4. Judgement, no source. */
const delays_s = [2, 0, 4];
/** So much of the integral's part has to be left by a delay, or the delay is shorter. */
const leastLeft = 0.25;

export interface IdentifiedController {
  best: LoopControl;
  /** As good, by how long filter, cycle and motor delay the opening. */
  others: LoopControl[];
}

/**
 * The controller as it shows between superheat and opening: u = k (e + 1/Ti of e's integral), by least squares with an
 * unknown setpoint; then turned by the phase that filter and motor take up at the swing's period. While a limit holds the
 * opening, it tells nothing, and the integral may be held as well: every stretch between limits has an offset of its own. Null
 * where the opening does not follow superheat like such a controller, or never between limits.
 */
export function identifyController(
  superheat: Float64Array,
  opening: Float64Array,
  step_s: number,
  period_s: number,
): IdentifiedController | null {
  const n = superheat.length;
  const integral = new Float64Array(n);
  for (let i = 1; i < n; i++)
    integral[i] = integral[i - 1] + (step_s * (superheat[i] + superheat[i - 1])) / 2;
  const time = Float64Array.from({ length: n }, (_, i) => i * step_s);
  const runs = freeRuns(opening);
  const [e, ei, t, u] = [superheat, integral, time, opening].map((values) => within(values, runs));
  if (u.length < 20) return null;
  const fit = fitLinear([e, ei, t], u);
  if (fit === null) return null;
  const squares = u.reduce((sum, value) => sum + value * value, 0);
  const explained = 1 - (fit.residualVariance * fit.degreesOfFreedom) / squares;
  if (!(explained >= leastExplained)) return null;
  const [proportional, integrating] = fit.coefficients;
  const quadrature = (integrating * period_s) / (2 * Math.PI);
  const [best, ...others] = delays_s.flatMap((delay_s) => {
    const turned = (2 * Math.PI * delay_s) / period_s;
    const gain_pct_K = proportional * Math.cos(turned) + quadrature * Math.sin(turned);
    const left = quadrature * Math.cos(turned) - proportional * Math.sin(turned);
    const integralTime_s = (gain_pct_K * period_s) / (2 * Math.PI * left);
    return gain_pct_K > 0 && left > leastLeft * quadrature ? [{ gain_pct_K, integralTime_s }] : [];
  });
  return best === undefined ? null : { best, others };
}

/** Stretches in which no limit holds the opening, as indices. */
function freeRuns(opening: Float64Array): number[][] {
  const lowest = opening.reduce((one, other) => Math.min(one, other));
  const highest = opening.reduce((one, other) => Math.max(one, other));
  const isAtLimit = (i: number) => opening[i] <= lowest + atLimit_pct || opening[i] >= highest - atLimit_pct;
  const runs: number[][] = [];
  let run: number[] = [];
  for (let i = 1; i < opening.length - 1; i++) {
    if (!isAtLimit(i) || !(isAtLimit(i - 1) || isAtLimit(i + 1))) run.push(i);
    if (i === opening.length - 2 || run[run.length - 1] !== i) {
      if (run.length >= leastRun) runs.push(run);
      run = [];
    }
  }
  return runs;
}

/** The values of all runs, each run less its own mean. */
const within = (values: Float64Array, runs: readonly number[][]): Float64Array =>
  Float64Array.from(
    runs.flatMap((run) => {
      const own = run.map((i) => values[i]);
      const middle = mean(own);
      return own.map((value) => value - middle);
    }),
  );
