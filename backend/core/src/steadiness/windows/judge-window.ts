import { detectOscillation, type OscillationVerdict } from '../../hunting/detection/detect-oscillation.js';
import { isUnresolved } from '../../hunting/detection/unresolved-swing.js';
import { originAtPeriod } from '../../hunting/origin/oscillation-origin.js';
import { swingPartners } from '../../hunting/origin/swing-partners.js';
import { withoutHeldLines } from '../../habits/signal/held-line.js';
import { prepareSeries } from '../../habits/prepare-series.js';
import type { SeriesHabits, SiteFacts } from '../../habits/signal/signal-habit.js';
import {
  limitedByResolution,
  notTold,
  coarsestOpening,
  shownSuperheat,
  type ShownSuperheat,
} from './shown-superheat.js';
import { median } from '../../numerics/index.js';
import { cycleShape } from '../../hunting/origin/cycle-shape.js';
import { saturationCurve, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { checkSeries } from '../../signals/series-error.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { CircuitEntry } from '../../telemetry/registry.js';
import { followsSuperheat } from '../../valve/follows-superheat.js';
import { valveUseOf } from '../../valve/valve-use.js';
import { operatingStatesOf, type Span } from './operating-states.js';
import { steadinessOf } from './steadiness.js';
import { capacitySteps, steadySuperheat, superheatLevel, type SteadySuperheat } from './superheat-level.js';
import type {
  OperatingState,
  RunningConditions,
  Steadiness,
  ValveUse,
  WindowJudgement,
  WindowOscillation,
} from './window-judgement.js';

export interface JudgeWindowInput {
  series: CircuitSeries;
  refrigerant: string;
  circuit: CircuitEntry;
  /** Bounds of the window, so that silence before the first and after the last sample counts. */
  window?: Span;
  /** The registry's unit: how its gateway sends, and whether it can run reversed. */
  unit?: SiteFacts | undefined;
  /**
   * How the signals are sent, learned from a longer series of which this one is a part and by which it has been prepared.
   * Left out, both are done here, on the window alone.
   */
  habits?: SeriesHabits | undefined;
  /** Stretches without mains, from the backup module's telemetry. */
  powerLost?: readonly Span[];
}

/** Longest stretch judged for one cycle: a period may move over a day. */
const piece_s = 7200;

/**
 * Judges one window of one circuit's telemetry: operating states, how superheat was held over the steady minutes,
 * whether it hunts and what swings with it, and the valve's travel. Any length of window is taken; hunting is judged in
 * pieces of two hours and the piece that swings furthest is reported.
 * @throws SeriesError, UnknownRefrigerantError.
 */
export function judgeWindow(input: JudgeWindowInput): WindowJudgement {
  const { refrigerant, circuit } = input;
  checkSeries(input.series.time_s, {
    suctionPressure_Pa: input.series.suctionPressure_Pa,
    suctionTemperature_K: input.series.suctionTemperature_K,
    valveOpening_pct: input.series.valveOpening_pct,
  });
  const { series: prepared, habits } = preparedFor(input);
  const n = prepared.time_s.length;
  const { state, weight_s, minutes, interval_s } = operatingStatesOf(prepared, { ...input, habits });
  const series = heard(prepared, habits);
  const steady = steadySuperheat(series, refrigerant, { state, weight_s });
  const conditions = conditionsOf(series, refrigerant, steady.weight_s);
  const shown = shownSuperheat(series, refrigerant, habits, steady.weight_s);
  const steps = capacitySteps(series, refrigerant);
  const level = superheatLevel(steady, series, steps, habits);
  const superheat = steadiness({ ...input, series }, level, shown);
  return {
    from_s: input.window?.from_s ?? (n > 0 ? series.time_s[0] : 0),
    to_s: input.window?.to_s ?? (n > 0 ? series.time_s[n - 1] : 0),
    sampleCount: input.series.time_s.length,
    interval_s,
    minutes,
    superheat,
    oscillation: oscillationOf(series, steady, {
      ...shown,
      steps,
      level_K: level.superheat_K,
    }),
    valve: valveOf(series, steady.superheat_K, { state, weight_s }, turnsBy_pct(circuit, habits)),
    conditions,
  };
}

function valveOf(
  { time_s, valveOpening_pct }: CircuitSeries,
  superheat_K: Float64Array,
  { state, weight_s }: { state: readonly OperatingState[]; weight_s: Float64Array },
  turns_pct: number,
): ValveUse | null {
  const use = valveUseOf(valveOpening_pct, state, weight_s, turns_pct);
  return use && { ...use, followsSuperheat: followsSuperheat(time_s, superheat_K, valveOpening_pct) };
}

/** A few openings far apart look like a step: none is taken as coarser than this, %. Judgement, no source. */
const coarsestStep_pct = 10;

/** By how much the opening must turn back for a reversal: not by the last digit, two steps of the motor, or a step of the reading. */
const turnsBy_pct = ({ valve }: CircuitEntry, { signals }: SeriesHabits): number =>
  Math.max(
    0.2,
    200 / valve.fullStroke_steps,
    1.01 * Math.min(coarsestStep_pct, signals.valveOpening_pct.resolution),
  );

/** The superheat of a stretch of telemetry whose level is judged, as `judgeWindow` takes it. */
export function judgedSuperheat(input: Omit<JudgeWindowInput, 'circuit'>): SteadySuperheat {
  const { series: prepared, habits } = preparedFor(input);
  const states = operatingStatesOf(prepared, { ...input, habits });
  const series = heard(prepared, habits);
  return superheatLevel(
    steadySuperheat(series, input.refrigerant, states),
    series,
    capacitySteps(series, input.refrigerant),
    habits,
  );
}

/** Without what was sent for a suction sensor whose line was lost: no superheat is told from that. */
const heard = (series: CircuitSeries, habits: SeriesHabits): CircuitSeries =>
  withoutHeldLines(series, habits, ['suctionPressure_Pa', 'suctionTemperature_K']);

/** The series as it is judged: given prepared with its habits, or prepared here. */
export const preparedFor = (
  input: Pick<JudgeWindowInput, 'series' | 'habits' | 'unit'>,
): { series: CircuitSeries; habits: SeriesHabits } =>
  input.habits ? { series: input.series, habits: input.habits } : prepareSeries(input.series, input.unit);

function steadiness(
  { series, refrigerant, circuit }: JudgeWindowInput,
  { superheat_K, weight_s }: SteadySuperheat,
  shown: ShownSuperheat,
): Steadiness | null {
  const pressure = weightedMean(series.suctionPressure_Pa, weight_s);
  if (pressure === null) return null;
  // A tolerance is a band within which any value is as likely; its standard uncertainty is the half-width over root 3 (JCGM 100:2008, 4.3.7).
  let slope: number;
  try {
    slope = saturationSlope_K_Pa(refrigerant, pressure, 'dew');
  } catch {
    return null; // The mean pressure lies outside the table, so no superheat of the window can be told.
  }
  const tolerance_K =
    Math.hypot(circuit.suctionPressure.tolerance * slope, circuit.suctionTemperature.tolerance) /
    Math.sqrt(3);
  const uncertainty_K = Math.hypot(tolerance_K, shown.noise_K);
  const setpoint = weightedMean(series.superheatSetpoint_K, weight_s);
  return steadinessOf(superheat_K, weight_s, setpoint, uncertainty_K, circuit.floodbackLimit_K);
}

/** What limits what the swings of a window can tell: how finely they are shown, and steps of capacity (indices) in between. */
type Seen = ShownSuperheat & {
  steps: readonly number[];
  /** Superheat without the minutes after these steps. */
  level_K: Float64Array;
};

function oscillationOf(
  series: CircuitSeries,
  { superheat_K, weight_s }: SteadySuperheat,
  shown: Seen,
): WindowOscillation {
  let best: WindowOscillation | null = null;
  let judged_s = 0;
  let hunting_s = 0;
  const n = series.time_s.length;
  for (let from = 0; from < n;) {
    const start = series.time_s[from];
    // A last piece of under an hour goes with the one before it.
    const remaining = series.time_s[n - 1] - start;
    const length = remaining < 1.5 * piece_s ? Infinity : piece_s;
    let to = from;
    while (to < n && series.time_s[to] - start < length) to++;
    let steady_s = 0;
    for (let i = from; i < to; i++) steady_s += weight_s[i];
    const piece = pieceOscillation(series, superheat_K, from, to, shown);
    if (piece.oscillating !== null) judged_s += steady_s;
    if (piece.oscillating) hunting_s += steady_s;
    if (best === null || rankOf(piece) > rankOf(best)) best = piece;
    from = to;
  }
  const result = best ?? pieceOscillation(series, superheat_K, 0, 0, shown);
  result.judgedMinutes = judged_s / 60;
  result.huntingMinutes = hunting_s / 60;
  return result;
}

/** A cycle of capacity is that of the swing where they differ by no more than this. Judgement, no source. */
const sameCycle = 0.3;
/** Steps of capacity closer than this leave no room for four cycles once the thermometer has settled, s. Judgement, no source. */
const closeSteps_s = 600;
/** What steps of capacity make of a superheat that is well held stays within this to either side, K. Judgement, no source. */
const ofSteps_K = 2;

/** Whether superheat swings a little, and at the pace at which capacity is stepped or with steps too close to tell: it may only answer them. */
function isOfSteps(
  { period_s, amplitude }: OscillationVerdict,
  time_s: Float64Array,
  steps: readonly number[],
): boolean {
  if (steps.length < 5 || amplitude! >= ofSteps_K) return false;
  const apart = (by: number) => steps.slice(by).map((step, k) => time_s[step] - time_s[steps[k]]);
  return median(apart(1)) < closeSteps_s || Math.abs(median(apart(2)) / period_s! - 1) < sameCycle;
}

const rankOf = (piece: WindowOscillation): number =>
  piece.oscillating ? 1 + (piece.amplitude ?? 0) : piece.oscillating === false ? 0 : -1;

/** So many steps of capacity among its swings, and a window does not show what holds their size. Judgement, no source. */
const fewestSteps = 2;

function pieceOscillation(
  series: CircuitSeries,
  superheat_K: Float64Array,
  from: number,
  to: number,
  shown: Seen,
): WindowOscillation {
  const time_s = series.time_s.subarray(from, to);
  const value = superheat_K.subarray(from, to);
  const stepsHere = shown.steps.filter((step) => step >= from && step < to);
  const steps = stepsHere.length;
  let verdict = limitedByResolution(detectOscillation({ time_s, value }), shown.step_K);
  if (verdict.oscillating && isUnresolved(value, verdict)) verdict = notTold(verdict);
  // A loop that rings down after each step of capacity does not hunt: between the steps it must swing, too.
  if (verdict.oscillating && steps >= fewestSteps) {
    const between = detectOscillation({ time_s, value: shown.level_K.subarray(from, to) });
    if (between.oscillating === false) verdict = between;
    else if (isOfSteps(verdict, series.time_s, stepsHere)) verdict = notTold(verdict);
  }
  const result: WindowOscillation = {
    ...verdict,
    judgedMinutes: 0,
    huntingMinutes: 0,
    origin: null,
    originIndices: {},
    partners: [],
    shape: null,
  };
  if (!verdict.oscillating) return result;
  const opening = series.valveOpening_pct.subarray(from, to).slice();
  for (let i = 0; i < opening.length; i++) if (!Number.isFinite(value[i])) opening[i] = NaN;
  const found = originAtPeriod({ time_s, value, valveOpening_pct: opening }, verdict.period_s!);
  result.origin = found.origin;
  result.originIndices = found.indices;
  result.partners = swingPartners(series, superheat_K, from, to, verdict.period_s!);
  result.shape = cycleShape(opening);
  if (result.shape && shown.openingStep_pct > coarsestOpening * result.shape.openingSwing_pct) {
    result.origin = 'undecided';
    result.shape = null;
  }
  // Each step of capacity drives the valve anew: the size of its swings is then not the loop's own.
  if (steps >= fewestSteps) result.shape = null;
  // Phases are told to an eighth of a cycle.
  if (shown.clocksApart || shown.openingApart_s > verdict.period_s! / 8) {
    result.origin = 'undecided';
    result.originIndices = {};
    result.shape = null;
  }
  return result;
}

function conditionsOf(series: CircuitSeries, refrigerant: string, weight_s: Float64Array): RunningConditions {
  const mean = (column: Float64Array) => weightedMean(column, weight_s);
  const suction = mean(series.suctionPressure_Pa);
  const discharge = mean(series.dischargePressure_Pa);
  const liquid = mean(series.liquidTemperature_K);
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const bubble = saturationCurve(refrigerant, 'bubble').temperature;
  const bubbleTemperature = discharge === null ? null : finiteOrNull(bubble(discharge));
  return {
    compressorLoad_pct: mean(series.compressorLoad_pct),
    valveOpening_pct: mean(series.valveOpening_pct),
    evaporatingTemperature_K: suction === null ? null : finiteOrNull(dew(suction)),
    condensingTemperature_K: discharge === null ? null : finiteOrNull(dew(discharge)),
    subcooling_K: bubbleTemperature === null || liquid === null ? null : bubbleTemperature - liquid,
    dischargeTemperature_K: mean(series.dischargeTemperature_K),
    enteringWaterTemperature_K: mean(series.enteringWaterTemperature_K),
    leavingWaterTemperature_K: mean(series.leavingWaterTemperature_K),
    ambientTemperature_K: mean(series.ambientTemperature_K),
  };
}

const finiteOrNull = (value: number): number | null => (Number.isFinite(value) ? value : null);

function weightedMean(column: Float64Array, weight_s: Float64Array): number | null {
  let sum = 0;
  let time = 0;
  for (let i = 0; i < column.length; i++) {
    if (!(weight_s[i] > 0) || !Number.isFinite(column[i])) continue;
    sum += weight_s[i] * column[i];
    time += weight_s[i];
  }
  return time > 0 ? sum / time : null;
}
