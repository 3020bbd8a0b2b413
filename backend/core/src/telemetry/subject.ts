import { standardAtmospherePressure_Pa } from '../units/index.js';
import {
  backupMetrics,
  circuitMetrics,
  closingMetrics,
  condenserMetrics,
  presenceMetrics,
  waterMetrics,
  type MetricDefinition,
} from './contract.js';
import type { CircuitEntry, SensorEntry } from './registry.js';

/** Unit, limits and offset by which one quantity of one subject is read. Limits are in the kept unit, absolute for pressures. */
export interface MetricGate {
  metric: MetricDefinition;
  /** A temperature difference, to which no zero of a scale is added. */
  difference: boolean;
  /** Added after unit conversion: atmospheric pressure for a gauge transducer, else 0. */
  offset: number;
  minimum: number;
  maximum: number;
}

/** A circuit, a unit's water or condenser side, a module or a presence, ready to have its packs read. Made once for all packs of the subject. */
export interface Subject {
  /** The caller's own key. */
  id: number;
  gates: readonly MetricGate[];
  /** Refrigerant for saturation temperatures; null where there are none. */
  refrigerant: string | null;
}

/** A sensor reads somewhat past the ends of its span before its signal is a fault signal: fraction of the span. */
export const spanMargin = 0.1;

const differenceMetrics = new Set(['superheat-setpoint']);

const plainGate = (metric: MetricDefinition): MetricGate => ({
  metric,
  difference: differenceMetrics.has(metric.name),
  offset: 0,
  minimum: metric.minimum,
  maximum: metric.maximum,
});

const waterGates = waterMetrics.map(plainGate);
const condenserGates = condenserMetrics.map(plainGate);
const moduleGates = backupMetrics.map(plainGate);
const closingGates = closingMetrics.map(plainGate);
const presenceGates = presenceMetrics.map(plainGate);

export const waterSubject = (id: number): Subject => ({ id, gates: waterGates, refrigerant: null });
export const condenserSubject = (id: number): Subject => ({ id, gates: condenserGates, refrigerant: null });
export const moduleSubject = (id: number): Subject => ({ id, gates: moduleGates, refrigerant: null });
export const closingSubject = (id: number): Subject => ({ id, gates: closingGates, refrigerant: null });
export const presenceSubject = (id: number): Subject => ({ id, gates: presenceGates, refrigerant: null });

type Span = { minimum: number; maximum: number };

const withMargin = ({ minimum, maximum, tolerance }: SensorEntry, offset = 0): Span => {
  const margin = spanMargin * (maximum - minimum) + tolerance;
  return { minimum: minimum - margin + offset, maximum: maximum + margin + offset };
};

/**
 * The gates of a circuit: the contract's range, narrowed to what its sensors can read.
 *
 * The span is that of any sensor of the kind on the circuit, not of the one that the name stands for: two transducers
 * with their wires exchanged are a finding to be made, so what either could have read is let in.
 *
 * @throws ArgumentRangeError where the altitude is not one (see `standardAtmospherePressure_Pa`).
 */
export function circuitSubject(
  id: number,
  circuit: CircuitEntry,
  unit: { refrigerant: string; altitude_m: number },
): Subject {
  const atmosphere_Pa = standardAtmospherePressure_Pa(unit.altitude_m);
  const offsetOf = (reference: 'absolute' | 'gauge') => (reference === 'gauge' ? atmosphere_Pa : 0);
  const suctionOffset = offsetOf(circuit.suctionPressure.reference);
  const dischargeOffset = offsetOf(circuit.dischargePressure.reference);
  const pressures = [
    withMargin(circuit.suctionPressure, suctionOffset),
    withMargin(circuit.dischargePressure, dischargeOffset),
  ];
  const temperatures = [
    circuit.suctionTemperature,
    circuit.dischargeTemperature,
    circuit.liquidTemperature,
  ].map((sensor) => withMargin(sensor));

  const sensed = (metric: MetricDefinition, spans: Span[], offset: number): MetricGate => ({
    metric,
    difference: false,
    offset,
    minimum: Math.max(metric.minimum, Math.min(...spans.map((span) => span.minimum))),
    maximum: Math.min(metric.maximum, Math.max(...spans.map((span) => span.maximum))),
  });

  const gates = circuitMetrics.map((metric) => {
    switch (metric.name) {
      case 'suction-pressure':
        return sensed(metric, pressures, suctionOffset);
      case 'discharge-pressure':
        return sensed(metric, pressures, dischargeOffset);
      case 'suction-temperature':
      case 'discharge-temperature':
      case 'liquid-temperature':
        return sensed(metric, temperatures, 0);
      default:
        return plainGate(metric);
    }
  });
  return { id, gates, refrigerant: unit.refrigerant };
}
