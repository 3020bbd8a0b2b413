import { createRandom, seedOf, type Random } from '../physics/random.js';

/** What kind of value a column holds: its step and its deadband follow from it. */
export type ValueKind = 'pressure' | 'temperature' | 'opening' | 'load' | 'setpoint' | 'flow' | 'power';

/** How a gateway sends what it reads. Everything left out is not done. */
export interface SendingHabits {
  /** Values in coarse steps, in the value's own unit. */
  step?: Partial<Record<ValueKind, number>>;
  /** A row at this interval only, s; `average`: of the mean since the last one. */
  interval_s?: number;
  average?: boolean;
  /**
   * A value is sent when it has moved by its deadband, or a heartbeat has passed since it was last sent. In between
   * nothing is sent for it, or, where the gateway fills its rows, the value last sent is repeated.
   */
  onChange?: { deadband: Partial<Record<ValueKind, number>>; heartbeat_s?: number; fillsRows?: boolean };
  /** Each signal is late by its own time, between nothing and this, s. */
  clocksApart_s?: number;
  /** Wrong values of a single sample, per day and signal. */
  glitchesPerDay?: number;
  /** Now and then a sensor's line is lost and the gateway goes on sending the value it has. */
  held?: { perDay: number; minutes: number };
  /** Fraction of rows that never arrive. */
  missingFraction?: number;
}

/** Size of a glitch: a bit that flips in the converter, or an open input. */
const glitchSize: Record<ValueKind, number> = {
  pressure: 3e5,
  temperature: 25,
  opening: 30,
  load: 0,
  setpoint: 0,
  flow: 0,
  power: 0,
};

interface Column {
  kind: ValueKind;
  delay_s: number;
  waiting: Float64Array;
  place: number;
  sum: number;
  count: number;
  sent: number;
  sent_s: number;
  heldUntil_s: number;
  held: number;
  random: Random;
}

/** One stream's way through a gateway. `pass` changes the row's values in place: NaN is not sent; false: no row at all. */
export interface Sender {
  pass(time_s: number, values: Float64Array): boolean;
}

/** @param step_s spacing of the rows that are passed in */
export function createSender(
  kinds: readonly ValueKind[],
  habits: SendingHabits,
  seed: number,
  step_s: number,
): Sender {
  const rowRandom = createRandom(seedOf(seed, 'rows'));
  const columns = kinds.map((kind, i) => newColumn(kind, habits, seedOf(seed, 'column', i), step_s));
  return {
    pass(time_s, values) {
      const due = !habits.interval_s || time_s % habits.interval_s === 0;
      let any = false;
      for (let i = 0; i < columns.length; i++) {
        const column = columns[i];
        let value = late(column, values[i]);
        value = disturbed(column, value, time_s, habits, step_s);
        if (habits.average && habits.interval_s && Number.isFinite(value)) {
          column.sum += value;
          column.count++;
          value = column.sum / column.count;
        }
        if (!due) continue;
        column.sum = column.count = 0;
        const step = habits.step?.[column.kind];
        if (step) value = Math.round(value / step) * step;
        if (habits.onChange) value = changed(column, value, time_s, habits.onChange);
        values[i] = value;
        if (Number.isFinite(value)) any = true;
      }
      if (!due || !any) return false;
      return !habits.missingFraction || rowRandom.uniform() >= habits.missingFraction;
    },
  };
}

function newColumn(kind: ValueKind, habits: SendingHabits, seed: number, step_s: number): Column {
  const random = createRandom(seed);
  random.uniform();
  const delay_s = random.uniform() * (habits.clocksApart_s ?? 0);
  return {
    kind,
    delay_s,
    waiting: new Float64Array(1 + Math.round(delay_s / step_s)).fill(NaN),
    place: 0,
    sum: 0,
    count: 0,
    sent: NaN,
    sent_s: -Infinity,
    heldUntil_s: -Infinity,
    held: NaN,
    random,
  };
}

/** The value that was read when the delay was still to come; the value itself until then. */
function late(column: Column, value: number): number {
  const { waiting } = column;
  if (waiting.length === 1) return value;
  waiting[column.place] = value;
  column.place = (column.place + 1) % waiting.length;
  const old = waiting[column.place];
  return Number.isNaN(old) ? value : old;
}

function disturbed(
  column: Column,
  value: number,
  time_s: number,
  habits: SendingHabits,
  step_s: number,
): number {
  const perStep = step_s / 86_400;
  const { random } = column;
  if (habits.held && column.kind !== 'setpoint') {
    if (time_s < column.heldUntil_s) return column.held;
    if (random.uniform() < habits.held.perDay * perStep) {
      column.heldUntil_s = time_s + 60 * habits.held.minutes;
      column.held = value;
    }
  }
  if (habits.glitchesPerDay && random.uniform() < habits.glitchesPerDay * perStep)
    return value + (random.uniform() < 0.5 ? -1 : 1) * glitchSize[column.kind] * (0.5 + random.uniform());
  return value;
}

function changed(
  column: Column,
  value: number,
  time_s: number,
  { deadband, heartbeat_s, fillsRows }: NonNullable<SendingHabits['onChange']>,
): number {
  const moved = !(Math.abs(value - column.sent) < (deadband[column.kind] ?? 0)) && value !== column.sent;
  const due = heartbeat_s !== undefined && time_s - column.sent_s >= heartbeat_s;
  if (moved || due) {
    column.sent = value;
    column.sent_s = time_s;
    return value;
  }
  return fillsRows ? column.sent : NaN;
}
