import { firstAbsoluteTime_s, SenmlError, visitSenml, type SenmlBase, type SenmlRecord } from './senml.js';
import { acceptedUnits, conversionOf } from './senml-units.js';
import type { MetricGate, Subject } from './subject.js';

/** Why something could not be read: a code to group by, which does not change. */
export type UnreadReason =
  | 'unknown-topic'
  | 'unknown-site'
  | 'unknown-unit'
  | 'unknown-circuit'
  | 'unknown-module'
  | 'too-large'
  | 'not-text'
  | 'not-json'
  | 'not-senml'
  | 'empty'
  | 'unknown-name'
  | 'wrong-unit'
  | 'wrong-type'
  | 'out-of-range'
  | 'time-in-future'
  | 'time-too-old'
  | 'closing-too-long';

export interface Rejection {
  /** Of the first record that could not be read, or of the whole message. */
  reason: UnreadReason;
  /** A sentence for a person. */
  detail: string;
  /** Records not taken; the whole pack where nothing was. */
  records: number;
}

/** Time steps of one subject as columns; a missing value is NaN. Times may repeat or run backwards as sent. */
export interface PackRows {
  length: number;
  /** Whole milliseconds since the Unix epoch: a row sent twice with different rounding must have the same key. */
  time_ms: Float64Array;
  /** In the order of the subject's gates; true and false are 1 and 0. */
  columns: Float64Array[];
}

export interface PackOutcome {
  rows: PackRows;
  /** Records taken. */
  taken: number;
  rejection: Rejection | null;
  /** Some times were relative: they were counted from `now_s`. */
  relative: boolean;
}

export interface DecodeLimits {
  /** Receiver's clock, seconds since the Unix epoch; relative times count from it. */
  now_s: number;
  /** How far a sender's clock may be ahead. */
  futureTolerance_s: number;
  /** Older telemetry is refused. */
  oldest_s: number;
}

/** 2000-01-01: a clock that was never set starts before it. */
export const oldestPlausible_s = 946_684_800;

/**
 * Reads one pack of a known subject into time steps.
 *
 * A record that cannot be read is left out and the rest is taken; a pack that is no JSON or no SenML is left out as a
 * whole. Either way the rejection says so once, with the first reason and how many records it touched.
 */
export function decodePack(payload: string, subject: Subject, limits: DecodeLimits): PackOutcome {
  let pack: unknown;
  try {
    pack = JSON.parse(payload);
  } catch (error) {
    return nothing(subject, 'not-json', `The payload is not JSON: ${(error as Error).message}.`, 0);
  }
  const size = Array.isArray(pack) ? pack.length : 0;
  const reader = new PackReader(subject, limits, size);
  try {
    visitSenml(pack, limits.now_s, reader.visit);
  } catch (error) {
    if (!(error instanceof SenmlError)) throw error;
    return nothing(subject, 'not-senml', `The payload is not SenML (RFC 8428): ${error.message}.`, size);
  }
  if (size === 0) return nothing(subject, 'empty', 'The pack has no records.', 0);
  return reader.outcome();
}

function nothing(subject: Subject, reason: UnreadReason, detail: string, records: number): PackOutcome {
  return {
    rows: { length: 0, time_ms: new Float64Array(0), columns: subject.gates.map(() => new Float64Array(0)) },
    taken: 0,
    rejection: { reason, detail, records },
    relative: false,
  };
}

/** What a name means within one pack, looked up once and not once per record. */
interface NameMeaning {
  /** Place in the subject's gates; -1 for a name that the stream does not know. */
  column: number;
  gate: MetricGate;
  unit: string | null | undefined;
  known: boolean;
  scale: number;
  offset: number;
}

class PackReader {
  private length = 0;
  private capacity: number;
  private time_ms: Float64Array;
  private columns: Float64Array[];
  private taken = 0;
  private rejected = 0;
  private first: Rejection | null = null;
  private readonly rowOfTime = new Map<number, number>();
  private relative = false;
  private lastTime = NaN;
  private lastRow = -1;
  private names = new Map<string, NameMeaning>();
  private namesOfBase = '';
  private readonly earliest_ms: number;
  private readonly latest_ms: number;

  constructor(
    private readonly subject: Subject,
    private readonly limits: DecodeLimits,
    records: number,
  ) {
    this.capacity = Math.ceil(records / Math.max(1, Math.min(subject.gates.length, 4))) + 1;
    this.time_ms = new Float64Array(this.capacity);
    this.columns = subject.gates.map(() => new Float64Array(this.capacity).fill(NaN));
    this.earliest_ms = Math.max(limits.oldest_s, oldestPlausible_s) * 1000;
    this.latest_ms = (limits.now_s + limits.futureTolerance_s) * 1000;
  }

  readonly visit = (record: SenmlRecord, base: SenmlBase, time_s: number, index: number): void => {
    const meaning = this.meaningOf(record, base);
    if (meaning.column < 0) {
      this.reject(
        index,
        'unknown-name',
        `${quoted(base.name + (record.n ?? ''))} is not a name of this stream`,
      );
      return;
    }
    const unit = record.u ?? base.unit;
    if (unit !== meaning.unit) convertFrom(meaning, unit);
    if (!meaning.known) {
      const units =
        acceptedUnits(meaning.gate.metric.unit, meaning.gate.difference).join(', ') || 'none or /';
      this.reject(
        index,
        'wrong-unit',
        `${meaning.gate.metric.name} came ${unit === null ? 'without a unit' : `in ${quoted(unit)}`}; it is read in ${units}`,
      );
      return;
    }
    let sent: number;
    if (record.v !== undefined) sent = record.v + base.value;
    else if (record.vb !== undefined && meaning.gate.metric.unit === 'bool') sent = record.vb ? 1 : 0;
    else {
      this.reject(index, 'wrong-type', `${meaning.gate.metric.name} has no ${kindOf(meaning.gate)} value`);
      return;
    }
    const value = sent * meaning.scale + meaning.offset;
    const { minimum, maximum, metric } = meaning.gate;
    if (!(value >= minimum && value <= maximum)) {
      this.reject(
        index,
        'out-of-range',
        `${metric.name} ${rounded(value)} ${metric.unit} is outside ${rounded(minimum)} to ${rounded(maximum)}, the range of its sensor`,
      );
      return;
    }
    if (metric.unit === 'bool' && value !== 0 && value !== 1) {
      this.reject(index, 'out-of-range', `${metric.name} ${rounded(value)} is neither 0 nor 1`);
      return;
    }
    if (base.time_s + (record.t ?? 0) < firstAbsoluteTime_s) this.relative = true;
    const time_ms = Math.round(time_s * 1000);
    if (time_ms !== this.lastTime && !this.moveTo(time_ms, index)) return;
    const column = this.columns[meaning.column];
    // Within a pack as between packs, the first value for a time stays.
    if (Number.isNaN(column[this.lastRow])) column[this.lastRow] = value;
    this.taken++;
  };

  outcome(): PackOutcome {
    const rows: PackRows = {
      length: this.length,
      time_ms: this.time_ms.subarray(0, this.length),
      columns: this.columns.map((column) => column.subarray(0, this.length)),
    };
    if (!this.first) return { rows, taken: this.taken, rejection: null, relative: this.relative };
    const more = this.rejected > 1 ? ` (and ${this.rejected - 1} more records)` : '';
    return {
      rows,
      taken: this.taken,
      rejection: { ...this.first, detail: `${this.first.detail}${more}.`, records: this.rejected },
      relative: this.relative,
    };
  }

  /** Makes `time_ms` the current row; false where the time cannot be true. */
  private moveTo(time_ms: number, index: number): boolean {
    if (!(time_ms <= this.latest_ms)) {
      const ahead = Math.round((time_ms / 1000 - this.limits.now_s) / 60);
      this.reject(
        index,
        'time-in-future',
        `the time ${isoTime(time_ms)} is ${ahead} min ahead of this clock`,
      );
      return false;
    }
    if (!(time_ms >= this.earliest_ms)) {
      this.reject(
        index,
        'time-too-old',
        `the time ${isoTime(time_ms)} is before ${isoTime(this.earliest_ms)}, the earliest time that is kept`,
      );
      return false;
    }
    let row = this.rowOfTime.get(time_ms);
    if (row === undefined) {
      row = this.length++;
      if (this.length > this.capacity) this.grow();
      this.time_ms[row] = time_ms;
      this.rowOfTime.set(time_ms, row);
    }
    this.lastTime = time_ms;
    this.lastRow = row;
    return true;
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

  private meaningOf(record: SenmlRecord, base: SenmlBase): NameMeaning {
    if (base.name !== this.namesOfBase) {
      this.names = new Map();
      this.namesOfBase = base.name;
    }
    const name = record.n ?? '';
    let meaning = this.names.get(name);
    if (!meaning) this.names.set(name, (meaning = this.look(base.name + name)));
    return meaning;
  }

  /**
   * SenML names are meant to be unique in the world, so any prefix may stand before the contract's name, ended by
   * one of SenML's separators. Whose value it is, the topic alone says.
   */
  private look(name: string): NameMeaning {
    const own = name.slice(Math.max(name.lastIndexOf('/'), name.lastIndexOf(':')) + 1);
    const column = this.subject.gates.findIndex((gate) => gate.metric.name === own);
    const gate = this.subject.gates[Math.max(column, 0)];
    return { column, gate, unit: undefined, known: false, scale: 1, offset: 0 };
  }

  private reject(index: number, reason: UnreadReason, problem: string): void {
    this.rejected++;
    this.first ??= { reason, detail: `Record ${index + 1}: ${problem}`, records: 1 };
  }
}

function convertFrom(meaning: NameMeaning, unit: string | null): void {
  const conversion = conversionOf(unit, meaning.gate.metric.unit, meaning.gate.difference);
  meaning.unit = unit;
  meaning.known = conversion !== null;
  if (conversion) {
    meaning.scale = conversion.scale;
    meaning.offset = conversion.offset + meaning.gate.offset;
  }
}

const kindOf = (gate: MetricGate) => (gate.metric.unit === 'bool' ? 'true-or-false' : 'numeric');
const rounded = (value: number) => String(Number(value.toPrecision(7)));
/** Names and units come from outside: what is shown of them is short and printable. */
const quoted = (text: string) => `"${text.replace(/[^\x20-\x7e]/g, '?').slice(0, 60)}"`;
const isoTime = (time_ms: number) =>
  Math.abs(time_ms) <= 8.64e15 ? new Date(time_ms).toISOString() : `${time_ms} ms`;
