import type { MetricGate } from './subject.js';
import type { DecodeLimits, PackRows, Rejection, UnreadReason } from './unread.js';

/** 2000-01-01: a clock that was never set starts before it. */
export const oldestPlausible_s = 946_684_800;

/** Why one value is not taken. */
export interface ValueProblem {
  reason: UnreadReason;
  /** End of a sentence that begins with where it was found. */
  words: string;
}

/** Time steps of one subject as values come in, in any order: one row for each time, and the first value for a time stays. */
export class RowCollector {
  private length = 0;
  private time_ms: Float64Array;
  private columns: Float64Array[];
  private readonly rowOfTime = new Map<number, number>();
  private lastTime = NaN;
  private lastRow = -1;
  private readonly earliest_ms: number;
  private readonly latest_ms: number;

  constructor(
    width: number,
    private readonly limits: DecodeLimits,
    private capacity = 4,
  ) {
    this.time_ms = new Float64Array(capacity);
    this.columns = Array.from({ length: width }, () => new Float64Array(capacity).fill(NaN));
    this.earliest_ms = Math.max(limits.oldest_s, oldestPlausible_s) * 1000;
    this.latest_ms = (limits.now_s + limits.futureTolerance_s) * 1000;
  }

  /** Takes a value that its gate lets through; tells what is wrong where its time cannot be true. */
  put(column: number, value: number, time_ms: number): ValueProblem | null {
    if (time_ms !== this.lastTime) {
      const problem = this.moveTo(time_ms);
      if (problem !== null) return problem;
    }
    const values = this.columns[column];
    if (Number.isNaN(values[this.lastRow])) values[this.lastRow] = value;
    return null;
  }

  rows(): PackRows {
    return {
      length: this.length,
      time_ms: this.time_ms.subarray(0, this.length),
      columns: this.columns.map((column) => column.subarray(0, this.length)),
    };
  }

  /** Makes `time_ms` the current row. */
  private moveTo(time_ms: number): ValueProblem | null {
    if (!(time_ms <= this.latest_ms)) {
      const ahead = Math.round((time_ms / 1000 - this.limits.now_s) / 60);
      return {
        reason: 'time-in-future',
        words: `the time ${isoTime(time_ms)} is ${ahead} min ahead of this clock`,
      };
    }
    if (!(time_ms >= this.earliest_ms))
      return {
        reason: 'time-too-old',
        words: `the time ${isoTime(time_ms)} is before ${isoTime(this.earliest_ms)}, the earliest time that is kept`,
      };
    let row = this.rowOfTime.get(time_ms);
    if (row === undefined) {
      row = this.length++;
      if (this.length > this.capacity) this.grow();
      this.time_ms[row] = time_ms;
      this.rowOfTime.set(time_ms, row);
    }
    this.lastTime = time_ms;
    this.lastRow = row;
    return null;
  }

  private grow(): void {
    this.capacity *= 2;
    const longer = (old: Float64Array) => {
      const grown = new Float64Array(this.capacity).fill(NaN);
      grown.set(old);
      return grown;
    };
    this.time_ms = longer(this.time_ms);
    this.columns = this.columns.map(longer);
  }
}

/** What of one message could not be read: told once, with the first reason and how many parts it touches. */
export class RejectionTally {
  private count = 0;
  private first: Pick<Rejection, 'reason' | 'detail'> | null = null;

  /** @param part what is counted, e.g. `records` */
  constructor(private readonly part: string) {}

  add(where: string, { reason, words }: ValueProblem): void {
    this.count++;
    this.first ??= { reason, detail: `${where}: ${words}` };
  }

  get rejection(): Rejection | null {
    if (this.first === null) return null;
    const more = this.count > 1 ? ` (and ${this.count - 1} more ${this.part})` : '';
    return { ...this.first, detail: `${this.first.detail}${more}.`, records: this.count };
  }
}

/** Whether a value, in the kept unit, is one that its sensor can read. */
export function gateProblem({ metric, minimum, maximum }: MetricGate, value: number): ValueProblem | null {
  if (!(value >= minimum && value <= maximum))
    return {
      reason: 'out-of-range',
      words: `${metric.name} ${rounded(value)} ${metric.unit} is outside ${rounded(minimum)} to ${rounded(maximum)}, the range of its sensor`,
    };
  if (metric.unit === 'bool' && value !== 0 && value !== 1)
    return { reason: 'out-of-range', words: `${metric.name} ${rounded(value)} is neither 0 nor 1` };
  return null;
}

const rounded = (value: number) => String(Number(value.toPrecision(7)));
/** Names and units come from outside: what is shown of them is short and printable. */
export const quoted = (text: string) => `"${text.replace(/[^\x20-\x7e]/g, '?').slice(0, 60)}"`;
const isoTime = (time_ms: number) =>
  Math.abs(time_ms) <= 8.64e15 ? new Date(time_ms).toISOString() : `${time_ms} ms`;
