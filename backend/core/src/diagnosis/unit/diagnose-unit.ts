import { learnHabits } from '../../habits/learn-habits.js';
import { prepareSeries } from '../../habits/prepare-series.js';
import { comparePlateaus } from '../../normal/departures/compare-plateaus.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import { plateausOf, plateausOfWindow, toleranceLevel } from '../../normal/plateaus/window-plateaus.js';
import { machineOf } from '../../normal/quantities/machine.js';
import { canonicalRefrigerantName } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { CircuitEntry, UnitEntry } from '../../telemetry/registry.js';
import { ArgumentError } from '../../units/index.js';
import type { Finding } from '../finding.js';
import { mergeWrongRefrigerant } from '../wrong-refrigerant.js';
import { departureFinding } from './circuit-departure.js';
import {
  findingsOfCircuits,
  sliceSeries,
  slicesOfWindows,
  type PreparedCircuit,
} from './circuit-findings-of.js';
import { diagnosesOf } from './diagnoses-of.js';
import type { Diagnosis, UnitNormal } from './diagnosis.js';
import { afterLearning, learnFrom, learningOf, unsoundSpans, type LearnedCircuit } from './unit-normal.js';

export interface DiagnoseUnitInput {
  unit: UnitEntry;
  altitude_m: number;
  /** One per circuit entry, in that order. */
  circuits: CircuitSeries[];
  /** What the unit does while nothing is wrong; left out, it is learned from the first part of the series. */
  normal?: UnitNormal | null;
  /** Samples from here on are not looked at. */
  until_s?: number;
}

export interface UnitDiagnosis {
  diagnoses: Diagnosis[];
  findings: Finding[];
  normal: UnitNormal | null;
}

/**
 * The whole pipeline on series alone: what is seen on each circuit (sensors, superheat, valve, charge), how it departs
 * from the unit's own normal, and the fewest causes that explain both, most urgent first. Pure: the same input gives the
 * same answer.
 * @throws ArgumentError where series and circuits do not match; UnknownRefrigerantError.
 */
export function diagnoseUnit(input: DiagnoseUnitInput): UnitDiagnosis {
  const { unit, altitude_m } = input;
  if (input.circuits.length !== unit.circuits.length)
    throw new ArgumentError(
      'circuits',
      `has ${input.circuits.length} series for ${unit.circuits.length} circuits`,
    );
  const refrigerant = canonicalRefrigerantName(unit.refrigerant);
  const series = input.circuits.map((one) =>
    prepared(unit, input.until_s === undefined ? one : sliceSeries(one, -Infinity, input.until_s)),
  );
  const findings = findingsOfCircuits(unit, altitude_m, series);
  const compared = unit.circuits.map((circuit, k) => {
    const known =
      input.normal?.refrigerant === refrigerant
        ? input.normal.circuits.find((one) => one.circuit === circuit.number)
        : undefined;
    return compareCircuit(unit, circuit, series[k].series, findings[k], known);
  });
  const all = findings.flatMap((own, k) => {
    const { departure } = compared[k];
    return departure === null ? own : [...own, departure];
  });
  const learned = unit.circuits.flatMap((circuit, k) => {
    const { normal, tolerance } = compared[k];
    return normal === null ? [] : [{ circuit: circuit.number, normal, tolerance }];
  });
  return {
    diagnoses: diagnosesOf(unit, all),
    findings: mergeWrongRefrigerant(all, unit.circuits.length),
    normal: learned.length === 0 ? null : { refrigerant, circuits: learned },
  };
}

/** A gateway's habits show within days. */
const habits_s = 3 * 86_400;

function prepared(unit: UnitEntry, series: CircuitSeries): PreparedCircuit {
  if (series.time_s.length === 0) return { ...prepareSeries(series, unit), sent: series };
  const last_s = series.time_s[series.time_s.length - 1];
  const habits = learnHabits(sliceSeries(series, last_s - habits_s, last_s + 1), unit.reporting);
  return { ...prepareSeries(series, { habits }), sent: series };
}

interface Compared {
  normal: CircuitNormal | null;
  tolerance: number;
  departure: Finding | null;
}

function compareCircuit(
  unit: UnitEntry,
  circuit: CircuitEntry,
  series: CircuitSeries,
  findings: readonly Finding[],
  known: UnitNormal['circuits'][number] | undefined,
): Compared {
  const machine = machineOf({ ...unit, circuits: unit.circuits.length, circuit });
  const windows = slicesOfWindows(series).map(({ start_s, slice }) =>
    plateausOfWindow(slice, machine.refrigerant, start_s),
  );
  const learned: LearnedCircuit | null =
    known === undefined
      ? learnFrom(machine, learningOf(windows, unsoundSpans(findings)))
      : { normal: known.normal, tolerance: known.tolerance ?? toleranceLevel(windows) };
  if (learned === null) return { normal: null, tolerance: 0, departure: null };
  const { normal, tolerance } = learned;
  const plateaus = known === undefined ? afterLearning(windows, learned) : plateausOf(windows, tolerance);
  const compared = comparePlateaus(machine, normal, plateaus, [], 0);
  return {
    normal,
    tolerance,
    departure: departureFinding(machine, normal, circuit.number, plateaus, compared),
  };
}
