import { fitLinear, type LinearFit } from '../../../numerics/index.js';
import { meansOnGrid } from '../../../signals/resample.js';
import type { LoopControl, LoopModel } from './loop-model.js';

/** A stretch of a swing: superheat and opening at the same times. */
export interface SwingRecord {
  time_s: Float64Array;
  superheat_K: Float64Array;
  valveOpening_pct: Float64Array;
  period_s: number;
}

export interface IdentifiedLoop {
  control: LoopControl;
  /** The model that follows superheat best, and all that follow it hardly worse: the region of 95 %. */
  best: LoopModel;
  models: LoopModel[];
}

/** Samples in a period, and periods, under which nothing is identified. */
const leastPerPeriod = 7;
const leastPeriods = 4;
/** Share of the variance that the model and the controller must explain. */
const leastExplained = 0.7;
/** F at 95 % for three parameters and many samples. */
const limitF = 2.6;

/**
 * Identifies the loop in its own swing. The controller: opening = k (superheat + integral/Ti) with an unknown setpoint, by
 * least squares. The valve's effect: first order with dead time by output error, gain, offset, drift and starting value by
 * least squares for each lag and dead time of a grid. In closed loop this is sound where the swing is large against what
 * disturbs it, as it is while a loop hunts (Ljung 1999, System Identification, section 13.4). A single frequency fixes
 * gain and phase at that frequency and little else: all models within the 95 % region of the residuals are returned, their
 * number of samples counted as independent as neighbouring residuals are. Null where the record is too short or too coarse,
 * the opening does not follow superheat like such a controller, or superheat not the opening.
 */
export function identifyLoop(record: SwingRecord): IdentifiedLoop | null {
  const even = onGrid(record);
  if (even === null) return null;
  const control = controlOf(even);
  if (control === null) return null;
  const fits: {
    model: LoopModel;
    /** On the grid of lags and dead times. */
    place: [number, number];
    rest: number;
    explained: number;
    fit: LinearFit;
    columns: Float64Array[];
  }[] = [];
  for (const [i, lag_s] of lags(record.period_s).entries())
    for (const [j, deadTime_s] of deadTimes(record.period_s, even.step_s).entries()) {
      const columns = columnsFor(even, lag_s, deadTime_s);
      const fit = fitLinear(columns, even.superheat);
      if (fit === null || !(fit.coefficients[0] < 0)) continue;
      const rest = fit.residualVariance * fit.degreesOfFreedom;
      const model = { gain_K_pct: fit.coefficients[0], lag_s, deadTime_s };
      fits.push({ model, place: [i, j], rest, explained: 1 - rest / even.squares, fit, columns });
    }
  if (fits.length === 0) return null;
  const best = fits.reduce((one, other) => (other.rest < one.rest ? other : one));
  if (best.explained < leastExplained) return null;
  const free = independent(even.superheat, best.columns, best.fit) - 6;
  if (free < 10) return null;
  const limit = best.rest * (1 + (3 * limitF) / free);
  return {
    control,
    best: best.model,
    models: fits
      .filter(({ rest, place }) => rest <= limit || isBeside(place, best.place))
      .map(({ model }) => model),
  };
}

/** The grid is no finer than its steps: the neighbours of the best model may be as good as it. */
const isBeside = (a: readonly number[], b: readonly number[]): boolean =>
  Math.abs(a[0] - b[0]) <= 1 && Math.abs(a[1] - b[1]) <= 1;

interface Even {
  step_s: number;
  superheat: Float64Array;
  opening: Float64Array;
  /** Sum of squares of superheat about its mean. */
  squares: number;
}

function onGrid({ time_s, superheat_K, valveOpening_pct, period_s }: SwingRecord): Even | null {
  const n = time_s.length;
  if (n < 20) return null;
  const steps = Float64Array.from({ length: n - 1 }, (_, i) => time_s[i + 1] - time_s[i]).sort();
  const step_s = steps[steps.length >> 1];
  const length = Math.floor((time_s[n - 1] - time_s[0]) / step_s);
  if (period_s / step_s < leastPerPeriod || (length * step_s) / period_s < leastPeriods) return null;
  const even = (values: Float64Array) => meansOnGrid(time_s, values, time_s[0], step_s, length, 3 * step_s);
  const superheat = even(superheat_K);
  const opening = even(valveOpening_pct);
  if (![...superheat, ...opening].every(Number.isFinite)) return null;
  const mean = superheat.reduce((sum, value) => sum + value, 0) / length;
  const squares = superheat.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return squares > 0 ? { step_s, superheat, opening, squares } : null;
}

function controlOf({ superheat, opening, step_s }: Even): LoopControl | null {
  const n = superheat.length;
  const integral = new Float64Array(n);
  for (let i = 1; i < n; i++)
    integral[i] = integral[i - 1] + (step_s * (superheat[i] + superheat[i - 1])) / 2;
  const ones = new Float64Array(n).fill(1);
  const time = Float64Array.from({ length: n }, (_, i) => i * step_s);
  const fit = fitLinear([superheat, integral, ones, time], opening);
  if (fit === null) return null;
  const [gain, integrating] = fit.coefficients;
  const mean = opening.reduce((sum, value) => sum + value, 0) / n;
  const squares = opening.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const explained = 1 - (fit.residualVariance * fit.degreesOfFreedom) / squares;
  if (!(gain > 0 && integrating > 0 && explained >= leastExplained)) return null;
  return { gain_pct_K: gain, integralTime_s: gain / integrating };
}

const lags = (period_s: number): number[] =>
  Array.from({ length: 18 }, (_, k) => period_s * 0.03 * 80 ** (k / 17));

const deadTimes = (period_s: number, step_s: number): number[] => {
  const steps = Math.max(8, Math.min(20, Math.round((0.45 * period_s) / (0.5 * step_s))));
  return Array.from({ length: steps + 1 }, (_, k) => (0.45 * period_s * k) / steps);
};

/** Opening through lag and dead time, offset, drift, and what is left of the state at the start. */
function columnsFor({ superheat, opening, step_s }: Even, lag_s: number, deadTime_s: number): Float64Array[] {
  const n = superheat.length;
  const through = new Float64Array(n);
  const start = new Float64Array(n);
  const decay = Math.exp(-step_s / lag_s);
  let state = opening[0];
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      // The delayed opening goes straight from one sample to the next; its mean over the step drives the lag.
      const [from, to] = [at(opening, i - 1 - deadTime_s / step_s), at(opening, i - deadTime_s / step_s)];
      state = decay * state + (1 - decay) * ((from + to) / 2);
    }
    through[i] = state;
    start[i] = decay ** i;
  }
  const ones = new Float64Array(n).fill(1);
  const time = Float64Array.from({ length: n }, (_, i) => i / n - 0.5);
  return [through, ones, time, start];
}

function at(values: Float64Array, place: number): number {
  if (place <= 0) return values[0];
  const low = Math.floor(place);
  const share = place - low;
  return share === 0 ? values[low] : values[low] * (1 - share) + values[low + 1] * share;
}

/** Number of samples that count as independent, by the first autocorrelation of the residuals. */
function independent(y: Float64Array, columns: readonly Float64Array[], fit: LinearFit): number {
  const rest = y.map((value, i) =>
    columns.reduce((left, column, k) => left - fit.coefficients[k] * column[i], value),
  );
  let products = 0;
  let squares = 0;
  rest.forEach((value, i) => {
    squares += value * value;
    if (i > 0) products += value * rest[i - 1];
  });
  const r = squares === 0 ? 0 : Math.min(0.95, Math.max(0, products / squares));
  return (y.length * (1 - r)) / (1 + r);
}
