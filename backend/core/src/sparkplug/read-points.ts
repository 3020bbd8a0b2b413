import {
  backupMetrics,
  circuitMetrics,
  condenserMetrics,
  gateProblem,
  quoted,
  RejectionTally,
  RowCollector,
  waterMetrics,
  type DecodeLimits,
  type MetricDefinition,
  type PackRows,
  type ValueProblem,
  type Rejection,
  type SparkplugPoint,
  type SparkplugStream,
  type Subject,
} from '../telemetry/index.js';
import type { SparkplugValue } from './edge-node.js';
import { pointConversion } from './point-units.js';

/** The contract's names that a point may stand for, by the part of the unit. A closing's fine samples are none of them. */
export const pointQuantities: Record<SparkplugStream, readonly MetricDefinition[]> = {
  circuits: circuitMetrics,
  water: waterMetrics,
  condenser: condenserMetrics,
  backup: backupMetrics,
};

/** A point ready to read values: whose quantity it is, and how a number sent becomes it. */
export interface PointTarget {
  stream: SparkplugStream;
  subject: Subject;
  /** Place in the subject's gates. */
  column: number;
  /** Into the contract's unit, before the gauge's atmosphere is added. */
  convert: (sent: number) => number;
}

/** Null where the subject has no such quantity, or the quantity no such unit. */
export function pointTarget(point: SparkplugPoint, subject: Subject): PointTarget | null {
  const column = subject.gates.findIndex(({ metric }) => metric.name === point.quantity);
  if (column < 0) return null;
  const convert = pointConversion(point.unit, subject.gates[column]);
  if (convert === null) return null;
  const scale = point.scale ?? 1;
  return { stream: point.stream, subject, column, convert: (sent) => convert(sent * scale) };
}

export interface PointRows {
  stream: SparkplugStream;
  subject: Subject;
  rows: PackRows;
}

/**
 * Values of a message as time steps of the circuits, sides and modules whose quantities they are. What has no value is
 * left out; what cannot be is rejected, once for the message.
 */
export function readPoints(
  values: readonly SparkplugValue[],
  targetsOf: (value: SparkplugValue) => readonly PointTarget[],
  limits: DecodeLimits,
): { parts: PointRows[]; rejection: Rejection | null } {
  const found = new Map<Subject, { stream: SparkplugStream; collected: RowCollector }>();
  const rejected = new RejectionTally('values');
  for (const value of values) {
    if (value.value === null) continue;
    for (const target of targetsOf(value)) {
      const { subject, stream } = target;
      let own = found.get(subject);
      if (own === undefined)
        found.set(subject, (own = { stream, collected: new RowCollector(subject.gates.length, limits) }));
      const problem = taken(value, target, own.collected);
      if (problem !== null) rejected.add(`Metric ${quoted(value.name)}`, problem);
    }
  }
  return {
    parts: [...found].flatMap(([subject, { stream, collected }]) => {
      const rows = collected.rows();
      return rows.length === 0 ? [] : [{ stream, subject, rows }];
    }),
    rejection: rejected.rejection,
  };
}

function taken(
  { value, time_ms, type }: SparkplugValue,
  { subject, column, convert }: PointTarget,
  collected: RowCollector,
): ValueProblem | null {
  const gate = subject.gates[column];
  if (value === undefined || value === null)
    return {
      reason: 'wrong-type',
      words: `${gate.metric.name} came as ${type}, which is no number it can hold`,
    };
  const kept = convert(value) + gate.offset;
  return gateProblem(gate, kept) ?? collected.put(column, kept, time_ms);
}
