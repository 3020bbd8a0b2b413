import type { Finding } from '../finding.js';
import { withWhatIsNotJudged } from '../not-judged.js';
import type { PreparedSeries } from '../../habits/prepare-series.js';
import type { SteadyFloor } from '../../steadiness/circuit-assessment.js';
import { assessCircuit } from '../../steadiness/assess-circuit.js';
import { judgeWindow } from '../../steadiness/windows/judge-window.js';
import { window_s, type WindowJudgement } from '../../steadiness/windows/window-judgement.js';
import { assessSensors } from '../../sensors/assess-sensors.js';
import { circuitSeriesColumns, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { inServiceSince_s, type CircuitEntry, type UnitEntry } from '../../telemetry/registry.js';
import { standardAtmospherePressure_Pa } from '../../units/index.js';
import { firstAtOrAfter } from '../../normal/plateaus/find-plateaus.js';

/** Sensors are checked on the last two days. */
const sensors_s = 48 * 3600;

export function sliceSeries(series: CircuitSeries, from_s: number, to_s: number): CircuitSeries {
  const from = firstAtOrAfter(series.time_s, from_s);
  const to = firstAtOrAfter(series.time_s, to_s);
  const slice = { time_s: series.time_s.subarray(from, to) } as CircuitSeries;
  for (const name of circuitSeriesColumns) slice[name] = series[name].subarray(from, to);
  return slice;
}

/** A circuit's telemetry as sent, and as everything that judges it sees it. */
export interface PreparedCircuit extends PreparedSeries {
  sent: CircuitSeries;
}

/** A series cut at the windows of two hours that it touches. */
export function slicesOfWindows(series: CircuitSeries): { start_s: number; slice: CircuitSeries }[] {
  const slices: { start_s: number; slice: CircuitSeries }[] = [];
  const { time_s } = series;
  for (let from = 0; from < time_s.length;) {
    const start_s = Math.floor(time_s[from] / window_s) * window_s;
    const slice = sliceSeries(series, start_s, start_s + window_s);
    slices.push({ start_s, slice });
    from += slice.time_s.length;
  }
  return slices;
}

export function windowsOf(
  { series, habits }: PreparedCircuit,
  unit: UnitEntry,
  circuit: CircuitEntry,
): WindowJudgement[] {
  const last_s = series.time_s[series.time_s.length - 1];
  return slicesOfWindows(series).map(({ start_s, slice }) =>
    judgeWindow({
      series: slice,
      habits,
      unit,
      refrigerant: unit.refrigerant,
      circuit,
      window: { from_s: start_s, to_s: Math.min(start_s + window_s, last_s + 1) },
    }),
  );
}

/** What was found on a circuit, with what advice is worked out from. */
export interface CircuitFindings {
  findings: Finding[];
  floor: SteadyFloor | null;
  windows: WindowJudgement[];
}

/** Findings of the unit's circuits as the server makes them: sensors first, then the circuits in the light of these. */
export function findingsOfCircuits(
  unit: UnitEntry,
  altitude_m: number,
  all: readonly PreparedCircuit[],
): CircuitFindings[] {
  const atmosphere_Pa = standardAtmospherePressure_Pa(altitude_m);
  const sensors = unit.circuits.map((circuit, k) => {
    const { sent, habits } = all[k];
    const times = sent.time_s;
    if (times.length === 0) return [];
    const last_s = times[times.length - 1];
    const series = sliceSeries(sent, last_s - sensors_s, last_s + 1);
    return assessSensors({ refrigerant: unit.refrigerant, circuit, unit, series, habits, atmosphere_Pa })
      .findings;
  });
  const windows = unit.circuits.map((circuit, k) => windowsOf(all[k], unit, circuit));
  const verdicts = sensors.flat();
  return unit.circuits.map((circuit, k) => {
    const { findings, floor } = assessCircuit({
      windows: windows[k],
      refrigerant: unit.refrigerant,
      circuit,
      evaporator: unit.evaporator,
      sensors: verdicts,
      inServiceSince_s: inServiceSince_s(unit),
      neighbours: windows.filter((_, other) => other !== k),
    });
    return { findings: [...withWhatIsNotJudged(sensors[k]), ...findings], floor, windows: windows[k] };
  });
}
