import {
  assessCircuit,
  assessSensors,
  evaporatorOf,
  judgeWindow,
  learnHabits,
  prepareSeries,
  type CircuitEntry,
  type CircuitSeries,
  type Finding,
  type SeriesHabits,
  type UnitEntry,
  type WindowJudgement,
} from '@coldrounds/core';
import type { SimulatedCircuit } from '@coldrounds/simulator';

const window_s = 7200;
const sensors_s = 2 * 86_400;

/** All findings on a unit's first circuit, as the server would keep them: judged windows of the week, sensors of the last two days. */
export function findingsOf({ series, neighbours, unit }: SimulatedCircuit): Finding[] {
  const all = [series, ...neighbours];
  const habits = all.map((one) => learnHabits(tail(one), unit.reporting));
  const windows = all.map((one, i) => windowsOf(one, unit, unit.circuits[i]!, habits[i]!));
  const sensors = all.flatMap(
    (one, i) =>
      assessSensors({
        refrigerant: unit.refrigerant,
        circuit: unit.circuits[i]!,
        series: tail(one),
        unit,
        habits: habits[i],
      }).findings,
  );
  const circuit = unit.circuits[0]!;
  const assessment = assessCircuit({
    windows: windows[0]!,
    refrigerant: unit.refrigerant,
    circuit,
    evaporator: evaporatorOf(unit),
    neighbours: windows.slice(1),
    sensors,
  });
  const own = sensors.filter(
    ({ subject }) => subject.kind === 'sensor' && subject.circuit === circuit.number,
  );
  return [...own, ...assessment.findings];
}

function windowsOf(
  series: CircuitSeries,
  unit: UnitEntry,
  circuit: CircuitEntry,
  habits: SeriesHabits,
): WindowJudgement[] {
  const prepared = prepareSeries(series, { habits }).series;
  const windows: WindowJudgement[] = [];
  const { time_s } = prepared;
  for (let from = 0; from < time_s.length;) {
    const start_s = Math.floor(time_s[from]! / window_s) * window_s;
    let to = from;
    while (to < time_s.length && time_s[to]! < start_s + window_s) to++;
    windows.push(
      judgeWindow({
        series: part(prepared, from, to),
        refrigerant: unit.refrigerant,
        circuit,
        unit,
        habits,
        window: { from_s: start_s, to_s: start_s + window_s },
      }),
    );
    from = to;
  }
  return windows;
}

/** One of the weeks of a longer run, from 0. */
export function weekOf(simulated: SimulatedCircuit, week: number): SimulatedCircuit {
  const from_s = simulated.series.time_s[0]! + 7 * 86_400 * week;
  const ofWeek = (series: CircuitSeries) => {
    const { time_s } = series;
    const first = time_s.findIndex((at) => at >= from_s);
    const next = time_s.findIndex((at) => at >= from_s + 7 * 86_400);
    return part(series, first, next < 0 ? time_s.length : next);
  };
  return {
    ...simulated,
    series: ofWeek(simulated.series),
    neighbours: simulated.neighbours.map(ofWeek),
  };
}

function tail(series: CircuitSeries): CircuitSeries {
  const { time_s } = series;
  const since_s = time_s[time_s.length - 1]! - sensors_s;
  return part(
    series,
    time_s.findIndex((at) => at >= since_s),
    time_s.length,
  );
}

const part = (series: CircuitSeries, from: number, to: number): CircuitSeries =>
  Object.fromEntries(
    Object.entries(series).map(([name, column]) => [name, (column as Float64Array).subarray(from, to)]),
  ) as unknown as CircuitSeries;
