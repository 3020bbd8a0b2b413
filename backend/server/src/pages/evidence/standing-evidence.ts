import {
  answersOf,
  median,
  runningSamples,
  stopsOfWindows,
  swapRecord_s,
  windowsThatTell,
  window_s,
} from '@coldrounds/core';
import { meansOf, samplesOf } from '../../assessment/circuit/series-of-means.js';
import type { FleetCircuit } from '../../storage/fleet.js';
import { rollup_s } from '../../storage/schema/rollups.js';
import { circuitOf, column, day_s, named, nothing, type EvidenceContext } from './evidence-context.js';
import { stretchWithMost } from './stretch-with-most.js';

/** What was left of the pressures' difference ten minutes after each stop: while normal was learned, and since. */
export async function stops(context: EvidenceContext) {
  const circuit = circuitOf(context)!;
  const { sources, finding } = context;
  const learned = (await sources.normals.kept([circuit.id])).get(circuit.id)?.learned;
  if (!learned || learned.stops.length === 0)
    return nothing('What this circuit does while nothing is wrong is being learned anew.');
  const from_s = Math.max(learned.normal.to_s, finding.lastSeen_s - 28 * day_s);
  const windows = await sources.windows.plateausBetween(
    circuit.id,
    from_s - window_s,
    finding.lastSeen_s + 1,
  );
  const since = stopsOfWindows(windows).filter(({ at_s }) => at_s > from_s && at_s <= finding.lastSeen_s);
  const dots = (all: readonly { at_s: number; left: number }[]) => ({
    time_s: all.map(({ at_s }) => at_s),
    left: column(all.map(({ left }) => left)),
  });
  return {
    kind: 'stops' as const,
    circuit: circuit.number,
    usual: dots(learned.stops),
    since: dots(since),
    usualLeft: median(learned.stops.map(({ left }) => left)),
  };
}

const values = {
  'suction-pressure': 'suctionPressure_Pa',
  'suction-temperature': 'suctionTemperature_K',
  'liquid-temperature': 'liquidTemperature_K',
  'discharge-pressure': 'dischargePressure_Pa',
  'discharge-temperature': 'dischargeTemperature_K',
} as const;

const shown_s = 6 * 3600;

/** The sensor of one kind on two circuits, over the six hours in which just one of them ran for longest. */
export async function betweenCircuits(context: EvidenceContext) {
  const { sources, unit, finding } = context;
  const sensor = finding.subject.kind === 'sensor' ? finding.subject.sensor : '';
  const other = unit.circuits.find(({ number }) => number === named(finding, 'other'));
  if (!(sensor in values) || other === undefined) return nothing('This signal is not stored.');
  if (finding.shownBy === 'valve-answers') return valveAnswers(context, sensor, other);
  const until_s = finding.lastSeen_s + rollup_s;
  const means = await Promise.all(
    [circuitOf(context)!, other].map(async ({ id, number }) => {
      const series = await meansOf(sources.series, id, until_s - swapRecord_s, until_s);
      return { number, series, runs: runningSamples(series) };
    }),
  );
  const [runs, others] = means.map(
    (one) => new Map(Array.from(one.series.time_s, (time, k) => [time, one.runs[k]])),
  );
  const alone = [...runs].flatMap(([time, run]) => (run + (others.get(time) ?? 255) === 1 ? [time] : []));
  const from_s = stretchWithMost(alone, shown_s);
  if (from_s === null)
    return nothing('No time in which just one of the two circuits ran is stored any more.');
  return {
    kind: 'between-circuits' as const,
    sensor,
    quantity: sensor.endsWith('pressure') ? ('pressure' as const) : ('temperature' as const),
    circuits: means.map(({ number, series, runs: running }) => {
      const kept = [...series.time_s.keys()].filter(
        (k) => series.time_s[k] >= from_s && series.time_s[k] <= from_s + shown_s,
      );
      const read = series[values[sensor as keyof typeof values]];
      return {
        circuit: number,
        time_s: kept.map((k) => series.time_s[k]),
        value: column(kept.map((k) => read[k])),
        running: kept.map((k) => running[k] === 1),
      };
    }),
  };
}

/** How the sensor of one kind on two circuits follows the valve of the first of them, over the windows that the finding is based on. */
async function valveAnswers(context: EvidenceContext, sensor: string, other: FleetCircuit) {
  const own = circuitOf(context)!;
  const { sources, unit } = context;
  const { firstSeen_s, lastSeen_s } = context.finding;
  const means = await Promise.all(
    unit.circuits.map(({ id }) => meansOf(sources.series, id, firstSeen_s, lastSeen_s)),
  );
  const windows = windowsThatTell(means, unit.refrigerant);
  const [first, second] = await Promise.all(
    [own, other].map(({ id }) => samplesOf(sources.series, id, windows)),
  );
  const answers = answersOf(first, second, windows, sensor);
  if (answers === null) return nothing('The samples that this is based on are not stored any more.');
  return {
    kind: 'valve-answers' as const,
    sensor,
    circuit: own.number,
    other: other.number,
    from_s: windows[0],
    to_s: windows[windows.length - 1] + window_s,
    windows: windows.length,
    lag_s: answers.lag_s,
    ofOwn: column(answers.own),
    ofOther: column(answers.other),
  };
}
