import type { DayColumn } from './day-summary.js';

/** Days of one circuit: places in the columns that a quantity takes, and which of them count (null: all). */
interface Days {
  from: number;
  to: number;
  keep: Uint8Array | null;
}

/** How days are put together to one figure. */
interface Quantity {
  /** Columns that it takes, in the order of the sums below. */
  columns: readonly DayColumn[];
  /** Minutes, or days, under which nothing is said. Judgement, no source. */
  least: number;
  /** Adds days to the three sums from `at` on: a loop of its own for each kind, as there are millions of days to a question. */
  add: (sums: Float64Array, at: number, columns: readonly Float32Array[], days: Days) => void;
  figure: (first: number, second: number, third: number) => number;
}

/** Mean of the days, weighted by steady minutes. */
const mean = (column: DayColumn): Quantity => ({
  columns: ['steadyMinutes', column],
  least: 60,
  add: addMean,
  figure: (minutes, sum) => sum / minutes,
});

function addMean(sums: Float64Array, at: number, columns: readonly Float32Array[], { from, to, keep }: Days) {
  const [minutes, values] = columns as [Float32Array, Float32Array];
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
}

/** Standard deviation of all values, within days and between them. */
const spread: Quantity = {
  columns: ['steadyMinutes', 'superheatMean_K', 'superheatSpread_K'],
  least: 60,
  add: (sums, at, columns, { from, to, keep }) => {
    const [minutes, means, spreads] = columns as [Float32Array, Float32Array, Float32Array];
    for (let day = from; day < to; day++) {
      const weight = minutes[day]!;
      const middle = means[day]!;
      if (!(weight > 0) || !Number.isFinite(middle) || (keep !== null && keep[day] === 0)) continue;
      sums[at]! += weight;
      sums[at + 1]! += weight * middle;
      sums[at + 2]! += weight * (spreads[day]! ** 2 + middle ** 2);
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

function addRatio(
  sums: Float64Array,
  at: number,
  columns: readonly Float32Array[],
  { from, to, keep }: Days,
) {
  const [below, above] = columns as [Float32Array, Float32Array];
  let [under, over] = [0, 0];
  for (let day = from; day < to; day++) {
    if (!(below[day]! > 0) || (keep !== null && keep[day] === 0)) continue;
    under += below[day]!;
    over += above[day]!;
  }
  sums[at]! += under;
  sums[at + 1]! += over;
}

/** Hours of running over the days of which anything is known. */
const running: Quantity = {
  columns: ['runningMinutes'],
  least: 1,
  add: (sums, at, [minutes], { from, to, keep }) => {
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
  add: (sums, at, columns, { from, to, keep }) => {
    const [minutes, means, offsets] = columns as [Float32Array, Float32Array, Float32Array];
    for (let day = from; day < to; day++) {
      const weight = minutes[day]!;
      const value = means[day]! - offsets[day]!;
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

/** Sums of many circuits, taken block by block, until a figure is asked for. */
export class DailySums {
  private readonly quantity: Quantity;
  private readonly sums: Float64Array;

  constructor(name: DailyQuantity, circuits: number) {
    this.quantity = dailyQuantities[name];
    this.sums = new Float64Array(3 * circuits);
  }

  /**
   * Adds days `from` to `to` of the circuit at `row` of a block to the sums of the circuit at `circuit`.
   *
   * @param keep which days of the block count, as its columns lie; null: all.
   */
  add(
    circuit: number,
    block: DayBlock,
    row: number,
    [from, to]: readonly [number, number],
    keep: Uint8Array | null,
  ): void {
    const { columns, add } = this.quantity;
    const at = row * block.days;
    add(
      this.sums,
      3 * circuit,
      columns.map((name) => block.columns[name]!),
      { from: at + from, to: at + to, keep },
    );
  }

  /** Null where there is too little to say. */
  figure(circuit: number): number | null {
    const at = 3 * circuit;
    const { sums, quantity } = this;
    if (sums[at]! < quantity.least) return null;
    const figure = quantity.figure(sums[at]!, sums[at + 1]!, sums[at + 2]!);
    return Number.isFinite(figure) ? figure : null;
  }
}
