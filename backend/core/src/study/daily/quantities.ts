import type { DayColumn } from './day-summary.js';

/** Of one circuit: places in the columns that a quantity takes, from `from` up to `to`, and which of them count (null: all). */
type AddDays = (
  sums: Float64Array,
  at: number,
  columns: readonly Float32Array[],
  from: number,
  to: number,
  keep: Uint8Array | null,
) => void;

/** How days are put together to one figure. */
interface Quantity {
  /** Columns that it takes, in the order of the sums below. */
  columns: readonly DayColumn[];
  /** Minutes, or days, under which nothing is said. Judgement, no source. */
  least: number;
  /** Adds days to the three sums from `at` on: a loop of its own for each kind, as there are millions of days to a question. */
  add: AddDays;
  figure: (first: number, second: number, third: number) => number;
}

/** Mean of the days, weighted by steady minutes. */
const mean = (column: DayColumn): Quantity => ({
  columns: ['steadyMinutes', column],
  least: 60,
  add: addMean,
  figure: (minutes, sum) => sum / minutes,
});

const addMean: AddDays = (sums, at, columns, from, to, keep) => {
  const minutes = columns[0]!;
  const values = columns[1]!;
  let [total, sum] = [0, 0];
  for (let day = from; day < to; day++) {
    const weight = minutes[day]!;
    const value = values[day]!;
    if (!(weight > 0) || !Number.isFinite(value) || (keep !== null && keep[day] === 0)) continue;
    total += weight;
    sum += weight * value;
  }
  sums[at]! += total;
  sums[at + 1]! += sum;
};

/** Standard deviation of all values, within days and between them. */
const spread: Quantity = {
  columns: ['steadyMinutes', 'superheatMean_K', 'superheatSpread_K'],
  least: 60,
  add: (sums, at, [minutes, means, spreads], from, to, keep) => {
    for (let day = from; day < to; day++) {
      const weight = minutes![day]!;
      const middle = means![day]!;
      if (!(weight > 0) || !Number.isFinite(middle) || (keep !== null && keep[day] === 0)) continue;
      sums[at]! += weight;
      sums[at + 1]! += weight * middle;
      sums[at + 2]! += weight * (spreads![day]! ** 2 + middle ** 2);
    }
  },
  figure: (minutes, sum, squares) => Math.sqrt(Math.max(0, squares / minutes - (sum / minutes) ** 2)),
};

/** Sum of one over the sum of the other. */
const ratio = (over: DayColumn, under: DayColumn, least: number, factor = 1): Quantity => ({
  columns: [under, over],
  least,
  add: addRatio,
  figure: (below, above) => (factor * above) / below,
});

const addRatio: AddDays = (sums, at, columns, from, to, keep) => {
  const below = columns[0]!;
  const above = columns[1]!;
  let [under, over] = [0, 0];
  for (let day = from; day < to; day++) {
    if (!(below[day]! > 0) || (keep !== null && keep[day] === 0)) continue;
    under += below[day]!;
    over += above[day]!;
  }
  sums[at]! += under;
  sums[at + 1]! += over;
};

/** Hours of running over the days of which anything is known. */
const running: Quantity = {
  columns: ['runningMinutes'],
  least: 1,
  add: (sums, at, [minutes], from, to, keep) => {
    for (let day = from; day < to; day++) {
      const own = minutes![day]!;
      if (!Number.isFinite(own) || (keep !== null && keep[day] === 0)) continue;
      sums[at]!++;
      sums[at + 1]! += own / 60;
    }
  },
  figure: (days, hours) => hours / days,
};

/** What superheat was held against: its mean less how far that lies over the setpoint. A wrong sensor cancels out. */
const setpoint: Quantity = {
  columns: ['steadyMinutes', 'superheatMean_K', 'setpointOffset_K'],
  least: 60,
  add: (sums, at, [minutes, means, offsets], from, to, keep) => {
    for (let day = from; day < to; day++) {
      const weight = minutes![day]!;
      const value = means![day]! - offsets![day]!;
      if (!(weight > 0) || !Number.isFinite(value) || (keep !== null && keep[day] === 0)) continue;
      sums[at]! += weight;
      sums[at + 1]! += weight * value;
    }
  },
  figure: (minutes, sum) => sum / minutes,
};

const halfDay_min = 720;
const day_min = 1440;

/**
 * Figures of a circuit over any days, each as the unit's page defines it (`summarise`): means over the steady minutes,
 * hunting over the minutes judged, travel and reversals over those in which the valve was observed.
 */
export const dailyQuantities = {
  superheatMean_K: mean('superheatMean_K'),
  superheatSpread_K: spread,
  setpointOffset_K: mean('setpointOffset_K'),
  superheatSetpoint_K: setpoint,
  floodbackFraction: mean('floodbackFraction'),
  starvedFraction: mean('starvedFraction'),
  huntingFraction: ratio('huntingMinutes', 'judgedMinutes', 60),
  valveTravel_strokes_day: ratio('valveTravel_strokes', 'valveMinutes', halfDay_min, day_min),
  valveReversals_day: ratio('valveReversals', 'valveMinutes', halfDay_min, day_min),
  running_h_day: running,
  compressorLoad_pct: mean('compressorLoad_pct'),
  evaporatingTemperature_K: mean('evaporatingTemperature_K'),
  condensingTemperature_K: mean('condensingTemperature_K'),
  subcooling_K: mean('subcooling_K'),
  ambientTemperature_K: mean('ambientTemperature_K'),
} as const satisfies Record<string, Quantity>;
export type DailyQuantity = keyof typeof dailyQuantities;

/** Days of many circuits: `days` values of each column for the first, then for the next. */
export interface DayBlock {
  days: number;
  columns: Partial<Record<DayColumn, Float32Array>>;
}

/** Days of a block that belong to one span: from `from` up to `to`, of its own days. */
export interface SpanDays {
  span: number;
  from: number;
  to: number;
}

/** Sums of many circuits over spans of time, taken block by block, until a figure is asked for. */
export class DailySums {
  private readonly quantity: Quantity;
  private readonly sums: Float64Array;

  /** @param spans that no day is in two of; a figure takes one of them, or several that follow each other. */
  constructor(
    name: DailyQuantity,
    circuits: number,
    private readonly spans = 1,
  ) {
    this.quantity = dailyQuantities[name];
    this.sums = new Float64Array(3 * spans * circuits);
  }

  /**
   * Adds the days of a block.
   *
   * @param circuits the circuit of each row, as it is numbered here; -1: the row does not count.
   * @param keep which days of the block count, as its columns lie; null: all.
   */
  add(
    block: DayBlock,
    circuits: Int32Array,
    spanDays: readonly SpanDays[],
    keep: Uint8Array | null = null,
  ): void {
    const { add } = this.quantity;
    const columns = this.quantity.columns.map((name) => block.columns[name]!);
    for (let row = 0; row < circuits.length; row++) {
      const circuit = circuits[row]!;
      if (circuit < 0) continue;
      const first = row * block.days;
      for (const { span, from, to } of spanDays)
        add(this.sums, 3 * (circuit * this.spans + span), columns, first + from, first + to, keep);
    }
  }

  /** Of a circuit over spans from `from` up to `to`; NaN where there is too little to say. */
  figure(circuit: number, from = 0, to = this.spans): number {
    const { sums, quantity } = this;
    let [first, second, third] = [0, 0, 0];
    for (let at = 3 * (circuit * this.spans + from); at < 3 * (circuit * this.spans + to); at += 3) {
      first += sums[at]!;
      second += sums[at + 1]!;
      third += sums[at + 2]!;
    }
    if (first < quantity.least) return NaN;
    const figure = quantity.figure(first, second, third);
    return Number.isFinite(figure) ? figure : NaN;
  }
}
