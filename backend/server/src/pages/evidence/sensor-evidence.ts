import { operatingStatesOf, saturationCurve, settledStandstills, type CircuitSeries } from '@coldrounds/core';
import { attempt } from '../../registry/latest.js';
import { circuitOf, column, day_s, everyNth, nothing, type EvidenceContext } from './evidence-context.js';

const values = {
  'suction-pressure': 'suctionPressure_Pa',
  'discharge-pressure': 'dischargePressure_Pa',
  'suction-temperature': 'suctionTemperature_K',
  'discharge-temperature': 'dischargeTemperature_K',
  'liquid-temperature': 'liquidTemperature_K',
} as const;

const noReadings = nothing('The readings of this time are no longer stored.');

const within = (series: CircuitSeries, from_s: number, to_s: number): number[] => {
  const inside = [...series.time_s.keys()].filter(
    (index) => series.time_s[index] >= from_s && series.time_s[index] <= to_s,
  );
  return everyNth(inside.length).map((index) => inside[index]);
};

function saturation(refrigerant: string, pressures: ArrayLike<number>, kept: number[]) {
  const { temperature } = saturationCurve(refrigerant, 'dew');
  return column(kept.map((index) => attempt(() => temperature(pressures[index])) ?? NaN));
}

/** The settled standstill on which sensors were compared last: from half an hour before it to ten minutes after. */
export async function standstill(context: EvidenceContext) {
  const circuit = circuitOf(context)!;
  const { sources, unit, finding } = context;
  const until_s = finding.lastSeen_s + 1800;
  const series = await sources.readings.circuitSeries(circuit.id, until_s - 2 * day_s, until_s);
  const seen = settledStandstills(unit.refrigerant, series).at(-1);
  if (seen === undefined)
    return nothing('The standstill on which the sensors were compared is no longer stored.');
  const [from_s, to_s] = [seen.from_s - Math.min(seen.stoodFor_s + 900, 7200), seen.to_s + 600];
  const kept = within(series, from_s, to_s);
  const of = (values: ArrayLike<number>) => column(kept.map((index) => values[index]));
  return {
    kind: 'standstill' as const,
    circuit: circuit.number,
    sensor: finding.subject.kind === 'sensor' ? finding.subject.sensor : null,
    from_s: seen.from_s,
    to_s: seen.to_s,
    time_s: kept.map((index) => series.time_s[index]),
    suctionSaturation_K: saturation(unit.refrigerant, series.suctionPressure_Pa, kept),
    dischargeSaturation_K: saturation(unit.refrigerant, series.dischargePressure_Pa, kept),
    suctionTemperature_K: of(series.suctionTemperature_K),
    dischargeTemperature_K: of(series.dischargeTemperature_K),
    liquidTemperature_K: of(series.liquidTemperature_K),
    enteringWater_K: of(series.enteringWaterTemperature_K),
    leavingWater_K: of(series.leavingWaterTemperature_K),
    ambient_K: of(series.ambientTemperature_K),
  };
}

/** Both pressures from ten minutes before the last start to twenty minutes after it. */
export async function start(context: EvidenceContext) {
  const circuit = circuitOf(context)!;
  const until_s = context.finding.lastSeen_s + 1200;
  const series = await context.sources.readings.circuitSeries(circuit.id, until_s - 2 * day_s, until_s);
  const { state } = operatingStatesOf(series);
  let started = -1;
  for (let index = 1; index < state.length; index += 1)
    if (state[index] === 'starting' && state[index - 1] === 'standing') started = index;
  if (started < 0) return nothing('No start of the compressor is stored from this time.');
  const startedAt_s = series.time_s[started];
  const kept = within(series, startedAt_s - 600, startedAt_s + 1200);
  return {
    kind: 'start' as const,
    circuit: circuit.number,
    startedAt_s,
    time_s: kept.map((index) => series.time_s[index]),
    suctionPressure_Pa: column(kept.map((index) => series.suctionPressure_Pa[index])),
    dischargePressure_Pa: column(kept.map((index) => series.dischargePressure_Pa[index])),
  };
}

/** Index of the sample that stands off most from both of its neighbours. */
function largestJump(value: Float64Array): number {
  let [largest, at] = [-Infinity, value.length - 1];
  for (let index = 1; index + 1 < value.length; index += 1) {
    const jump = Math.min(
      Math.abs(value[index] - value[index - 1]),
      Math.abs(value[index] - value[index + 1]),
    );
    if (jump > largest) [largest, at] = [jump, index];
  }
  return at;
}

/** The signal itself: long where it stands still or drifts with the ambient, an hour or two where single samples count. */
export async function signal(context: EvidenceContext, about: 'loose' | 'stretch' | 'samples' | 'jump') {
  const circuit = circuitOf(context)!;
  const { sources, unit, finding } = context;
  const sensor = finding.subject.kind === 'sensor' ? finding.subject.sensor : 'suction-temperature';
  if (!(sensor in values)) return nothing('This signal is not stored.');
  const name = values[sensor as keyof typeof values];
  const until_s = finding.lastSeen_s + 1;
  const series = await sources.readings.circuitSeries(circuit.id, until_s - day_s, until_s);
  if (series.time_s.length === 0) return noReadings;
  const middle_s =
    about === 'jump'
      ? series.time_s[largestJump(series[name])]
      : about === 'samples'
        ? until_s - 3600
        : until_s;
  const [from_s, to_s] =
    about === 'stretch' || about === 'loose'
      ? [until_s - day_s, until_s]
      : [middle_s - 3600, middle_s + 3600];
  const kept = within(series, from_s, to_s);
  const { state } = operatingStatesOf(series);
  const none = kept.map(() => null);
  const of = (values: ArrayLike<number>) => column(kept.map((index) => values[index]));
  return {
    kind: 'signal' as const,
    circuit: circuit.number,
    sensor,
    quantity: sensor.endsWith('pressure') ? ('pressure' as const) : ('temperature' as const),
    time_s: kept.map((index) => series.time_s[index]),
    value: of(series[name]),
    // What a loose sensor follows and what it should follow; of no use beside any other signal.
    ambient_K: about === 'loose' ? of(series.ambientTemperature_K) : none,
    evaporating_K: about === 'loose' ? saturation(unit.refrigerant, series.suctionPressure_Pa, kept) : none,
    running: kept.map((index) => !['standing', 'power-lost', 'silent'].includes(state[index])),
  };
}
