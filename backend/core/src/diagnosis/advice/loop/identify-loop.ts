import { meansOnGrid } from '../../../signals/resample.js';
import { quantileSorted, sortedFinite, spacingsOf } from '../../../numerics/index.js';
import { fitResponse } from './fit-response.js';
import { identifyController, type IdentifiedController } from './identify-controller.js';
import type { LoopModel } from './loop-model.js';
import type { EvenRecord, Response } from './superheat-response.js';

/** A stretch of a swing: superheat and opening at the same times. */
export interface SwingRecord {
  time_s: Float64Array;
  superheat_K: Float64Array;
  valveOpening_pct: Float64Array;
  period_s: number;
}

export interface IdentifiedLoop {
  control: IdentifiedController;
  /** The model that follows superheat best, and pairs of models two standard uncertainties from it either way. */
  best: LoopModel;
  spread: [LoopModel, LoopModel][];
}

/** Samples in a period, and periods, under which nothing is identified. */
const leastPerPeriod = 7;
const leastPeriods = 4;
/** Periods that are looked at: more add time and hardly any knowledge. */
const mostPeriods = 60;
/** Share of superheat's variance that the model must explain. */
const leastExplained = 0.7;

/**
 * Identifies the loop in its own swing: the controller from superheat to opening, and what superheat makes of the opening:
 * dead time, two lags, and the floor at which liquid reaches the outlet. A loop that is unstable swings ever further until
 * a limit holds it: the floor, or the valve's ends. Seen as linear, such a swing shows a loop that is just marginal and a
 * gain that is too low; with the limits in the model, it shows the gain of small swings. Null where the record is too short
 * or too coarse, the opening does not follow superheat like a controller, or superheat not the opening.
 */
export function identifyLoop(record: SwingRecord): IdentifiedLoop | null {
  const even = onGrid(record);
  if (even === null) return null;
  const control = identifyController(even.superheat_K, even.opening_pct, even.step_s, even.period_s);
  if (control === null) return null;
  const fit = fitResponse(even);
  if (fit === null || fit.explained < leastExplained) return null;
  return {
    control,
    best: modelOf(fit.best),
    spread: fit.spread.map(([one, other]) => [modelOf(one), modelOf(other)]),
  };
}

const modelOf = ({ gain_K_pct, lag_s, thermometerLag_s, deadTime_s }: Response): LoopModel => ({
  gain_K_pct: -gain_K_pct,
  lag_s,
  thermometerLag_s,
  deadTime_s,
});

/** The floor is taken as high as the record allows: at the lowest that superheat shows, outliers apart. */
const lowest = 0.02;

function onGrid(record: SwingRecord): EvenRecord | null {
  const { time_s, period_s } = record;
  const n = time_s.length;
  if (n < 20) return null;
  const steps = spacingsOf(time_s).sort();
  const step_s = steps[steps.length >> 1];
  const all = Math.floor((time_s[n - 1] - time_s[0]) / step_s);
  const length = Math.min(all, Math.ceil((mostPeriods * period_s) / step_s));
  if (period_s / step_s < leastPerPeriod || (length * step_s) / period_s < leastPeriods) return null;
  const even = (values: Float64Array) => meansOnGrid(time_s, values, time_s[0], step_s, length, 3 * step_s);
  const superheat_K = even(record.superheat_K);
  const opening_pct = even(record.valveOpening_pct);
  if (![superheat_K, opening_pct].every((values) => values.every(Number.isFinite))) return null;
  const floor_K = quantileSorted(sortedFinite(superheat_K), lowest);
  return { step_s, period_s, superheat_K, opening_pct, floor_K };
}
