import type { SensorEntry } from '../../telemetry/registry.js';
import { quantileSorted, sortedFinite } from '../../numerics/index.js';
import { medianOf, type Stretch } from '../running/running-state.js';

export interface SignalFault {
  kind: 'value-frozen' | 'value-jumping' | 'value-clipped' | 'value-noisy';
  /** Frozen or clipped: the value it stands at. Jumping: size of a jump. Noisy: standard deviation, all in SI. */
  value: number;
  /** Jumping: how many; frozen: how long it stands, s; clipped: fraction of samples; noisy: times its class. */
  measure: number;
  from_s: number;
  to_s: number;
  /** Clipped: hardly ever while the circuit runs. */
  atRest?: boolean;
}

interface SignalInput {
  time_s: Float64Array;
  values: Float64Array;
  /** A start or a stop between two samples, at which every sensor of a circuit moves. */
  changes: readonly number[];
  /** 1 where the circuit runs. */
  flags: Uint8Array;
  /**
   * 1 where the circuit heats, defrosts or is emptied, or stands with more pressure in it than a transducer is made for:
   * its span need not reach so far.
   */
  otherMode?: Uint8Array;
  standing: readonly Stretch[];
  sensor: SensorEntry;
  /** Smallest jump worth a word, in the unit of the value. */
  leastJump: number;
  /** The values as sent, single wrong samples and all; `values` where they are the same. */
  asSent?: Float64Array;
  /** How the value is sent; as measured, without steps, when left out. */
  sent?: { resolution: number; deadband: number };
  /** What moves along with the value when the circuit works, K, and how far the value's own step reaches there, K. */
  companion?: { temperature_K: Float64Array; step_K: number };
}

/** Nothing is known of a value while nothing is sent: silence longer than this parts what is before it from what follows. */
const silence_s = 300;

/** So close to the end of its span, as a fraction of it, a value is at the end. */
export const endOfSpan = 0.002;

/** Values without those at an end of the span where the circuit is outside what the sensor is for. */
function withinSpan({ values, otherMode, sensor }: SignalInput): Float64Array {
  if (!otherMode?.includes(1)) return values;
  const margin = endOfSpan * (sensor.maximum - sensor.minimum);
  return values.map((value, i) =>
    otherMode[i] === 1 && (value >= sensor.maximum - margin || value <= sensor.minimum + margin)
      ? NaN
      : value,
  );
}

/** What the values of one sensor alone betray. Clipped is told from frozen by values that come and go below the end. */
export function signalFaults(input: SignalInput): SignalFault[] {
  const clipped = clippedValue(input);
  if (clipped) return [clipped];
  const frozen = frozenValue({ ...input, values: withinSpan(input) });
  if (frozen) return [frozen];
  return [jumpingValue(input), noisyValue(input)].filter((fault) => fault !== null);
}

/** The companion must move by so many steps of the value, of a coarse one across a start or stop, and by so much at least, K. */
const moved = { steps: 6, coarseSteps: 20, least_K: 1.5 };

/**
 * The same value to the last digit for at least an hour across a start or stop, or for six hours with an hour of running
 * in them, and still at the end or for half of the time: what was held for an hour and moves again is no stuck sensor.
 *
 * A value that is sent in coarse steps, or only when it has changed, stands while the quantity moves a little. It is
 * stuck only where what moves along with it (the saturation temperature of its own side for a thermometer, the
 * thermometer of its side for a pressure) moved by six of its steps meanwhile; of a coarse one by twenty, across a start or stop.
 */
function frozenValue(input: SignalInput): SignalFault | null {
  const { time_s, values, changes, flags } = input;
  const end_s = time_s.length > 0 ? time_s[time_s.length - 1] : 0;
  const half_s = time_s.length > 0 ? (end_s - time_s[0]) / 2 : 0;
  let best: SignalFault | null = null;
  let from = -1;
  let last = -1;
  const close = () => {
    if (from < 0) return;
    const length_s = time_s[last] - time_s[from];
    const crossed = changes.some((at) => at - time_s[from] > 900 && time_s[last] - at > 900);
    if ((length_s >= 3600 && crossed) || length_s >= 6 * 3600) {
      let ran = 0;
      let all = 0;
      for (let i = from; i <= last; i++) {
        all++;
        if (flags[i] === 1) ran++;
      }
      if (!crossed && (ran / all) * length_s < 3600) return;
      if (input.companion && end_s - time_s[last] > 1800 && length_s < half_s) return;
      const coarse = isCoarse(input.sensor, input.sent);
      if (coarse && !crossed) return;
      if (!companionMoved(input, from, last, coarse ? moved.coarseSteps : moved.steps)) return;
      if (!best || length_s > best.measure) {
        best = {
          kind: 'value-frozen',
          value: values[from],
          measure: length_s,
          from_s: time_s[from],
          to_s: time_s[last],
        };
      }
    }
  };
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    if (from >= 0 && values[i] === values[from] && time_s[i] - time_s[last] <= silence_s) last = i;
    else {
      close();
      from = last = i;
    }
  }
  close();
  return best;
}

/** Whether the companion says that the value had to move; without one, that several changes said so is enough. */
function companionMoved(
  { companion, time_s, changes }: SignalInput,
  from: number,
  to: number,
  steps: number,
): boolean {
  if (!companion) return true;
  const known = sortedFinite(companion.temperature_K.subarray(from, to + 1));
  if (known.length < 30) return changes.filter((at) => at > time_s[from] && at < time_s[to]).length >= 2;
  const range_K = quantileSorted(known, 0.95) - quantileSorted(known, 0.05);
  return range_K >= Math.max(moved.least_K, steps * companion.step_K);
}

/** Steps and deadbands over this fraction of the tolerance are the sending's, not the sensor's. Judgement, no source. */
const coarseFraction = 0.25;

const isCoarse = ({ tolerance }: SensorEntry, sent: SignalInput['sent']): boolean =>
  (sent?.resolution ?? 0) + (sent?.deadband ?? 0) > coarseFraction * tolerance;

/**
 * The highest (or lowest) value of all held exactly: for five minutes at the span's own end, or again and again for five
 * minutes or once for an hour elsewhere, by a sensor whose other values do not repeat so. A
 * value sent in coarse steps stands at its highest whenever the quantity rests there: it is only judged at the span's end.
 * What is cut off only while the circuit heats, defrosts or is emptied is outside what the sensor is for.
 */
function clippedValue({
  time_s,
  values: all,
  sensor,
  sent,
  otherMode,
  flags,
}: SignalInput): SignalFault | null {
  const values = otherMode?.includes(1) ? all.map((value, i) => (otherMode[i] === 1 ? NaN : value)) : all;
  for (const sign of [1, -1]) {
    let extreme = -Infinity;
    let count = 0;
    for (const value of values) {
      if (!Number.isFinite(value)) continue;
      count++;
      if (sign * value > extreme) extreme = sign * value;
    }
    if (count < 180) continue;
    const end = sign * extreme;
    let plateaus = 0;
    let longest_s = 0;
    let repeats = 0;
    let samples = 0;
    let first = -1;
    let last = -1;
    let start = -1;
    for (let i = 0; i <= values.length; i++) {
      const at = i < values.length && values[i] === end;
      const silent = i > 0 && i < values.length && time_s[i] - time_s[i - 1] > silence_s;
      if (start >= 0 && (!at || silent)) {
        const length_s = time_s[i - 1] - time_s[start];
        if (length_s >= 300) plateaus++;
        longest_s = Math.max(longest_s, length_s);
        start = -1;
      }
      if (at) {
        if (start < 0) start = i;
        samples++;
        if (first < 0) first = i;
        last = i;
      }
      if (!at && i > 0 && values[i] === values[i - 1]) repeats++;
    }
    const range = sensor.maximum - sensor.minimum;
    const spanEnd = sign > 0 ? sensor.maximum : sensor.minimum;
    const atSpanEnd = Math.abs(end - spanEnd) <= endOfSpan * range;
    const elsewhere = count - samples;
    const lively = elsewhere >= 0.02 * count && repeats < 0.6 * elsewhere;
    if (
      atSpanEnd
        ? plateaus >= 1 && elsewhere > 0
        : !isCoarse(sensor, sent) && lively && (plateaus >= 3 || longest_s >= 3600)
    ) {
      return {
        kind: 'value-clipped',
        value: end,
        measure: samples / count,
        from_s: time_s[first],
        to_s: time_s[last],
        atRest: isAtRest(values, flags, end),
      };
    }
  }
  return null;
}

/** Of the samples at the end, so few may be of running. Judgement, no source. */
const runningAtRest = 0.02;

function isAtRest(values: Float64Array, flags: Uint8Array, end: number): boolean {
  let at = 0;
  let running = 0;
  for (let i = 0; i < values.length; i++) {
    if (values[i] !== end) continue;
    at++;
    if (flags[i] !== 0) running++;
  }
  return running <= runningAtRest * at;
}

/** Fewer jumps than about ten a day are taken out and counted, and are no fault of the sensor that a visit is worth. Judgement, no source. */
const jumpsPerHour = 0.4;

/** Single samples that stand off calm neighbours which agree; at least five in all, and about ten a day. */
function jumpingValue({ time_s, values: clean, asSent, leastJump, sent }: SignalInput): SignalFault | null {
  const values = asSent ?? clean;
  const least = Math.max(leastJump, 3 * (sent?.resolution ?? 0));
  // Plain scatter is another finding: a jump stands out of it.
  const above = Math.max(least, 8 * scatterOf(time_s, values, [{ from: 0, to: values.length }]).deviation);
  const sizes: number[] = [];
  let first = NaN;
  let last = NaN;
  for (let i = 1; i + 1 < values.length; i++) {
    if (time_s[i + 1] - time_s[i - 1] > 60) continue;
    const before = values[i] - values[i - 1];
    const after = values[i] - values[i + 1];
    if (!(Math.abs(before) > above && Math.abs(after) > above && before * after > 0)) continue;
    if (Math.abs(before - after) > Math.min(Math.abs(before), Math.abs(after)) / 3) continue;
    const height = Math.abs(before + after) / 2;
    if (!calmAround(values, i, height / 3)) continue;
    sizes.push(height);
    if (Number.isNaN(first)) first = time_s[i];
    last = time_s[i];
  }
  const hours = (time_s[time_s.length - 1] - time_s[0]) / 3600;
  if (sizes.length < 5 || sizes.length < jumpsPerHour * hours) return null;
  return { kind: 'value-jumping', value: medianOf(sizes), measure: sizes.length, from_s: first, to_s: last };
}

/**
 * Scatter at standstill, where nothing boils and all scatter is the instrument's: standard deviation from second
 * differences (each has variance 6 s^2), by their median so that jumps do not count. Its class is taken as half its
 * tolerance, and half a step more: rounding is off by no more than that, however it flickers.
 */
function noisyValue({ time_s, values, standing, sensor, sent }: SignalInput): SignalFault | null {
  const { deviation, count } = scatterOf(time_s, values, standing);
  if (count < 180) return null;
  const allowed = sensor.tolerance / 2 + (sent?.resolution ?? 0) / 2 + (sent?.deadband ?? 0);
  if (!(deviation > allowed)) return null;
  return {
    kind: 'value-noisy',
    value: deviation,
    measure: deviation / allowed,
    from_s: time_s[standing[0].from],
    to_s: time_s[standing[standing.length - 1].to - 1],
  };
}

function scatterOf(
  time_s: Float64Array,
  values: Float64Array,
  stretches: readonly Stretch[],
): { deviation: number; count: number } {
  const seconds = new Float64Array(values.length);
  let count = 0;
  for (const { from, to } of stretches) {
    for (let i = from + 1; i + 1 < to; i++) {
      if (time_s[i + 1] - time_s[i - 1] > 60) continue;
      const second = values[i + 1] - 2 * values[i] + values[i - 1];
      if (Number.isFinite(second)) seconds[count++] = Math.abs(second);
    }
  }
  const deviation = count > 0 ? (1.4826 * medianOf(seconds.subarray(0, count))) / Math.sqrt(6) : 0;
  return { deviation, count };
}

/** Whether the minute before and after a sample moves in smaller steps than `step`, the sample's own aside. */
function calmAround(values: Float64Array, at: number, step: number): boolean {
  for (let k = Math.max(1, at - 6); k <= Math.min(values.length - 1, at + 7); k++) {
    if (k === at || k === at + 1) continue;
    if (Math.abs(values[k] - values[k - 1]) > step) return false;
  }
  return true;
}
