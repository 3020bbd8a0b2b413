import { gateProblem, quoted, RejectionTally, RowCollector, type ValueProblem } from './row-collector.js';
import {
  firstAbsoluteTime_s,
  SenmlError,
  visitSenml,
  type SenmlBase,
  type SenmlRecord,
} from './senml/senml.js';
import { acceptedUnits, conversionOf } from './senml/senml-units.js';
import type { MetricGate, Subject } from './subject.js';
import type { DecodeLimits, PackRows, Rejection, UnreadReason } from './unread.js';

export interface PackOutcome {
  rows: PackRows;
  /** Records taken. */
  taken: number;
  rejection: Rejection | null;
  /** Some times were relative: they were counted from `now_s`. */
  relative: boolean;
}

/**
 * Times relative to now (RFC 8428, section 4.5.3) count back from the moment of sending; one that lies further ahead is of a
 * clock that began at 1970 with the power, s. Judgement, no source.
 */
const relativeAhead_s = 60;

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
  private readonly collected: RowCollector;
  private readonly rejected = new RejectionTally('records');
  private taken = 0;
  private relative = false;
  private names = new Map<string, NameMeaning>();
  private namesOfBase = '';

  constructor(
    private readonly subject: Subject,
    limits: DecodeLimits,
    records: number,
  ) {
    const width = subject.gates.length;
    this.collected = new RowCollector(
      width,
      limits,
      Math.ceil(records / Math.max(1, Math.min(width, 4))) + 1,
    );
  }

  readonly visit = (record: SenmlRecord, base: SenmlBase, time_s: number, index: number): void => {
    const problem = this.take(record, base, time_s);
    if (problem === null) this.taken++;
    else this.rejected.add(`Record ${index + 1}`, problem);
  };

  outcome(): PackOutcome {
    return {
      rows: this.collected.rows(),
      taken: this.taken,
      rejection: this.rejected.rejection,
      relative: this.relative,
    };
  }

  private take(record: SenmlRecord, base: SenmlBase, time_s: number): ValueProblem | null {
    const meaning = this.meaningOf(record, base);
    const { gate } = meaning;
    if (meaning.column < 0)
      return {
        reason: 'unknown-name',
        words: `${quoted(base.name + (record.n ?? ''))} is not a name of this stream`,
      };
    const unit = record.u ?? base.unit;
    if (unit !== meaning.unit) convertFrom(meaning, unit);
    if (!meaning.known) {
      const units = acceptedUnits(gate.metric.unit, gate.difference).join(', ') || 'none or /';
      return {
        reason: 'wrong-unit',
        words: `${gate.metric.name} came ${unit === null ? 'without a unit' : `in ${quoted(unit)}`}; it is read in ${units}`,
      };
    }
    let sent: number;
    if (record.v !== undefined) sent = record.v + base.value;
    else if (record.vb !== undefined && gate.metric.unit === 'bool') sent = record.vb ? 1 : 0;
    else return { reason: 'wrong-type', words: `${gate.metric.name} has no ${kindOf(gate)} value` };
    const value = sent * meaning.scale + meaning.offset;
    const problem = gateProblem(gate, value);
    if (problem !== null) return problem;
    const stated_s = base.time_s + (record.t ?? 0);
    if (stated_s < firstAbsoluteTime_s) {
      this.relative = true;
      if (stated_s > relativeAhead_s)
        return {
          reason: 'time-in-future',
          words: `the time ${stated_s} s counts from now and lies ahead: nothing is measured there; a clock that was never set counts so`,
        };
    }
    return this.collected.put(meaning.column, value, Math.round(time_s * 1000));
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
