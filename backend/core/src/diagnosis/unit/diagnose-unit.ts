import { learnHabits } from '../../habits/learn-habits.js';
import { prepareSeries } from '../../habits/prepare-series.js';
import { comparePlateaus } from '../../normal/departures/compare-plateaus.js';
import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import { plateausOf, plateausOfWindow, toleranceLevel } from '../../normal/plateaus/window-plateaus.js';
import type { PlateauDepartures } from '../../normal/departures/departures.js';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import { stopsOfWindows, type Stop } from '../../normal/plateaus/stops.js';
import { machineOf, type Machine } from '../../normal/quantities/machine.js';
import { canonicalRefrigerantName } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { CircuitEntry, UnitEntry } from '../../telemetry/registry.js';
import { ArgumentError } from '../../units/index.js';
import type { Finding } from '../finding.js';
import { clocksApart, isMispaired, meansForClocks } from '../standing/clocks-apart.js';
import { meansOfLate } from '../standing/swapped-between-circuits.js';
import { mergeWrongRefrigerant } from '../wrong-refrigerant.js';
import { adviceFor, swingingWindows, swingRecord, type AdviceContext } from './advice-for.js';
import { departureFinding } from './departure/circuit-departure.js';
import {
  findingsOfCircuits,
  sliceSeries,
  slicesOfWindows,
  type CircuitFindings,
  type PreparedCircuit,
} from './circuit-findings-of.js';
import { diagnosesOf } from './diagnoses-of.js';
import type { Diagnosis, UnitNormal } from './diagnosis.js';
import { swappedCircuits } from './swapped-circuits.js';
import { leakSince } from './normal/kept-normal.js';
import {
  afterLearning,
  learnFrom,
  learningOf,
  unsoundSpans,
  usualStops,
  type LearnedCircuit,
} from './normal/unit-normal.js';

export interface DiagnoseUnitInput {
  unit: UnitEntry;
  altitude_m: number;
  /** One per circuit entry, in that order. */
  circuits: CircuitSeries[];
  /** What the unit does while nothing is wrong; left out, it is learned from the first part of the series. */
  normal?: UnitNormal | null;
  /** Normal is learned from here on, and nothing before is compared with it (`learnAnewFrom`). */
  normalSince_s?: number;
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
  const judged = findingsOfCircuits(unit, altitude_m, series);
  const clocks = clocksOf(unit, series);
  const compared = unit.circuits.map((circuit, k) => {
    const known =
      input.normal?.refrigerant === refrigerant
        ? input.normal.circuits.find((one) => one.circuit === circuit.number)
        : undefined;
    return compareCircuit(
      unit,
      circuit,
      series[k].series,
      { found: judged[k].findings, clocks },
      known,
      input.normalSince_s,
    );
  });
  const means = series.length < 2 ? [] : meansOfLate(series.map(({ sent }) => sent));
  const swapped = swappedCircuits(
    means.map((one, k) => ({
      ...compared[k],
      ...{ circuit: unit.circuits[k].number, series: one, samples: series[k].sent },
    })),
    refrigerant,
  );
  const all = [
    ...judged.flatMap(({ findings }, k) => [...findings, ...compared[k].findings]),
    ...swapped,
    ...clocks,
  ];
  const learned = unit.circuits.flatMap((circuit, k) => {
    const { normal, tolerance, stops } = compared[k];
    return normal === null ? [] : [{ circuit: circuit.number, normal, tolerance, stops }];
  });
  return {
    diagnoses: diagnosesOf(unit, all).map((diagnosis) => {
      const { subject, cause } = diagnosis;
      const k = unit.circuits.findIndex(
        ({ number }) => subject.kind === 'circuit' && subject.circuit === number,
      );
      if (k < 0) return diagnosis;
      return {
        ...diagnosis,
        advice: adviceFor(cause, adviceContext(unit.circuits[k], compared[k], series[k], judged[k])),
      };
    }),
    findings: mergeWrongRefrigerant(all, unit.circuits.length),
    normal: learned.length === 0 ? null : { refrigerant, circuits: learned },
  };
}

function clocksOf(unit: UnitEntry, circuits: readonly PreparedCircuit[]): Finding[] {
  const { means, until_s } = meansForClocks(circuits.map(({ sent }) => sent));
  return clocksApart(
    means.map((series, k) => ({ circuit: unit.circuits[k].number, series })),
    until_s,
  );
}

function adviceContext(
  circuit: CircuitEntry,
  { machine, plateaus, normal, over }: Compared,
  { series }: PreparedCircuit,
  { floor, windows }: CircuitFindings,
): AdviceContext {
  const swings = swingingWindows(windows).map((window) =>
    swingRecord(window, sliceSeries(series, window.from_s, window.to_s), machine.refrigerant),
  );
  return { circuit, machine, floor, swings, plateaus, normal, over };
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
  machine: Machine;
  plateaus: Plateau[];
  normal: CircuitNormal | null;
  tolerance: number;
  stops: Stop[];
  /** The plateaus that still depart from normal. */
  over: PlateauDepartures[];
  /** What comparing with the circuit's own past found. */
  findings: Finding[];
}

function compareCircuit(
  unit: UnitEntry,
  circuit: CircuitEntry,
  series: CircuitSeries,
  { found, clocks }: { found: readonly Finding[]; clocks: readonly Finding[] },
  known: UnitNormal['circuits'][number] | undefined,
  since_s = -Infinity,
): Compared {
  const machine = machineOf({ ...unit, circuits: unit.circuits.length, circuit });
  const windows = slicesOfWindows(sliceSeries(series, since_s, Infinity)).map(({ start_s, slice }) =>
    plateausOfWindow(slice, machine.refrigerant, start_s),
  );
  const learned: LearnedCircuit | null =
    known === undefined
      ? learnFrom(machine, learningOf(windows, unsoundSpans([...found, ...clocks])))
      : {
          normal: known.normal,
          tolerance: known.tolerance ?? toleranceLevel(windows),
          stops: known.stops ?? usualStops(stopsOfWindows(windows), known.normal),
        };
  if (learned === null)
    return { machine, plateaus: [], normal: null, tolerance: 0, stops: [], over: [], findings: [] };
  const { normal, tolerance } = learned;
  const plateaus = known === undefined ? afterLearning(windows, learned) : plateausOf(windows, tolerance);
  const compared = comparePlateaus(machine, normal, plateaus, [], 0);
  const departure = isMispaired(clocks, circuit.number)
    ? null
    : departureFinding(machine, normal, circuit.number, plateaus, compared);
  const leak = leakSince(learned, windows, circuit.number);
  return {
    machine,
    plateaus,
    normal,
    tolerance,
    stops: learned.stops,
    over: departure?.over ?? [],
    findings: [...(departure === null ? [] : [departure.finding]), ...(leak === null ? [] : [leak])],
  };
}
