import type { SeriesHabits } from '../../habits/signal/signal-habit.js';
import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { settling, type OperatingStates } from './operating-states.js';

/** Superheat of the steady running, K; NaN elsewhere. */
export interface SteadySuperheat {
  superheat_K: Float64Array;
  /** Time that each sample stands for, s; 0 where it is not steady running. */
  weight_s: Float64Array;
}

/**
 * Time after which a thermometer on the suction pipe shows a step but for a twentieth: three times a time constant of up
 * to a minute (common practice for one under insulation, no source; first-order lag: exp(-3) = 0.05).
 */
export const thermometerSettling_s = 180;
/** A load, or failing it an evaporating temperature, that moves by so much within `sudden_s` has stepped. */
const sudden_s = 30;
const evaporatingStep_K = 2.5;

/** No compressor raises pressure the other way: with suction over discharge by a tenth the sides are mixed up. */
const mixedUp = 1.1;

/** Superheat of each steady sample; none where suction pressure reads above discharge pressure. */
export function steadySuperheat(
  series: CircuitSeries,
  refrigerant: string,
  { state, weight_s }: Pick<OperatingStates, 'state' | 'weight_s'>,
): SteadySuperheat {
  const n = series.time_s.length;
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const superheat_K = new Float64Array(n).fill(NaN);
  const steady_s = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (state[i] !== 'steady') continue;
    if (series.suctionPressure_Pa[i] > mixedUp * series.dischargePressure_Pa[i]) continue;
    superheat_K[i] = series.suctionTemperature_K[i] - dew(series.suctionPressure_Pa[i]);
    steady_s[i] = weight_s[i];
  }
  return withoutLost({ superheat_K, weight_s: steady_s });
}

/**
 * So far under zero neither vapour nor liquid nor a sensor's lag reads: a thermometer whose line is lost, where it is so for
 * a part of the time. What is so for most of it is an error of its own, and said. Judgement, no source.
 */
const lost = { under_K: -15, mostOfTime: 0.5 };

function withoutLost({ superheat_K, weight_s }: SteadySuperheat): SteadySuperheat {
  let all = 0;
  let under = 0;
  for (let i = 0; i < superheat_K.length; i++) {
    if (!(weight_s[i] > 0) || !Number.isFinite(superheat_K[i])) continue;
    all++;
    if (superheat_K[i] < lost.under_K) under++;
  }
  if (under === 0 || under >= lost.mostOfTime * all) return { superheat_K, weight_s };
  const isLost = (value: number) => value < lost.under_K;
  return {
    superheat_K: superheat_K.map((value) => (isLost(value) ? NaN : value)),
    weight_s: weight_s.map((weight, i) => (isLost(superheat_K[i]) ? 0 : weight)),
  };
}

/**
 * The steady superheat whose level can be judged: without the three minutes after each step of capacity. The pressure
 * answers a step at once and the thermometer on the pipe with its lag, so that superheat reads too low for a while after
 * a step down, and too high after a step up. What lasts longer counts. A capacity that steps again and again stays steady
 * running for everything else.
 *
 * Steps are told by the load, or where none is sent by the evaporating temperature. With clocks apart the load may tell
 * of a step minutes early or late: the same time before it is left out, too.
 *
 * @param steps of capacity, as `capacitySteps` finds them
 */
export function superheatLevel(
  steady: SteadySuperheat,
  series: CircuitSeries,
  steps: readonly number[],
  habits?: Pick<SeriesHabits, 'clocksApart'>,
): SteadySuperheat {
  const { time_s } = series;
  if (steps.length === 0) return steady;
  const superheat_K = steady.superheat_K.slice();
  const weight_s = steady.weight_s.slice();
  const before_s = habits?.clocksApart ? thermometerSettling_s : 0;
  const after_s = thermometerSettling_s + before_s;
  let from = 0;
  for (const step of steps) {
    while (from < time_s.length && time_s[from] < time_s[step] - before_s) from++;
    for (let i = from; i < time_s.length && time_s[i] < time_s[step] + after_s; i++) {
      superheat_K[i] = NaN;
      weight_s[i] = 0;
    }
  }
  return { superheat_K, weight_s };
}

/** Indices of the first samples after each sudden step of capacity. */
export function capacitySteps(series: CircuitSeries, refrigerant: string): number[] {
  const { time_s, compressorLoad_pct } = series;
  if (compressorLoad_pct.some(Number.isFinite))
    return suddenSteps(time_s, compressorLoad_pct, settling.loadStep_pct);
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  return suddenSteps(time_s, series.suctionPressure_Pa.map(dew), evaporatingStep_K);
}

function suddenSteps(time_s: Float64Array, values: Float64Array, least: number): number[] {
  const steps: number[] = [];
  let lowest = Infinity;
  let highest = -Infinity;
  for (const value of values) {
    if (value < lowest) lowest = value;
    if (value > highest) highest = value;
  }
  if (!(highest - lowest >= least)) return steps;
  let before = -1;
  for (let i = 0, from = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    while (from < i && time_s[i] - time_s[from] > sudden_s) from++;
    // The sample before it at least, however long ago that was.
    while (from < i && !Number.isFinite(values[from])) from++;
    const earliest = from < i ? from : before;
    const going = steps.length > 0 && time_s[i] - time_s[steps[steps.length - 1]] <= sudden_s;
    if (before >= 0 && !going && (stepped(values, i, before, least) || stepped(values, i, earliest, least)))
      steps.push(i);
    before = i;
  }
  return steps;
}

const stepped = (values: Float64Array, i: number, before: number, least: number): boolean =>
  Math.abs(values[i] - values[before]) >= least;
