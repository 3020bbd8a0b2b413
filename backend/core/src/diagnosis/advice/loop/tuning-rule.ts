import { bracketedRoot } from '../../../numerics/index.js';
import { answer, marginalLoop, steadyGain, type LoopControl, type LoopModel } from './loop-model.js';

/** An integral time far over the period of any swing: proportional control alone. */
const proportionalOnly_s = 1e6;
/** The lag from which Skogestad's rule takes no more of it: this many dead times. */
const slowLag = 8;

/**
 * A tuning that is steady for all that a swing leaves open. A swing shows what superheat makes of the opening at its own
 * period; how it answers over many minutes, it hardly shows. The integral time is that of Ziegler and Nichols (1942, Trans.
 * ASME 64:759): the period at which proportional control alone would swing on, over 1.2; a longer one of today stays. Their gain leaves too little
 * robustness; it is lowered to that of Skogestad's rule (`steadyGain`), for the model as identified and for the
 * slow one that answers the same at that period. Null where the model cannot swing.
 */
export function steadyTuning(model: LoopModel, today: LoopControl): LoopControl | null {
  const ultimate = marginalLoop(model, proportionalOnly_s);
  if (ultimate === null) return null;
  const integralTime_s = Math.max(ultimate.period_s / 1.2, today.integralTime_s);
  const gain_pct_K = steadyGainAt(model, ultimate.period_s, integralTime_s);
  return gain_pct_K === null ? null : { gain_pct_K, integralTime_s };
}

/** The gain that is steady for all that a swing leaves open, at an integral time as it is; null where the model cannot swing. */
export function steadyGainOf(model: LoopModel, integralTime_s: number): number | null {
  const ultimate = marginalLoop(model, proportionalOnly_s);
  return ultimate === null ? null : steadyGainAt(model, ultimate.period_s, integralTime_s);
}

function steadyGainAt(model: LoopModel, period_s: number, integralTime_s: number): number | null {
  const gains = [model, slowTwin(model, (2 * Math.PI) / period_s)].map((one) =>
    steadyGain(one, integralTime_s),
  );
  return gains.every((gain) => gain !== null) ? Math.min(...gains) : null;
}

/** The model of one lag of eight dead times that answers as another does at a frequency at which that is half a period late. */
function slowTwin(model: LoopModel, omega: number): LoopModel {
  const halfPeriod_s = Math.PI / omega;
  const deadTime_s = bracketedRoot(
    (dead_s) => Math.atan(slowLag * omega * dead_s) + omega * dead_s - Math.PI,
    0,
    halfPeriod_s,
    1e-12 * halfPeriod_s,
  );
  const lag_s = slowLag * deadTime_s;
  return {
    gain_K_pct: -Math.hypot(...answer(model, omega)) * Math.hypot(1, omega * lag_s),
    lag_s,
    thermometerLag_s: 0,
    deadTime_s,
  };
}
