import {
  correctedLevel,
  hunts,
  judgedSuperheat,
  lastDaysFrom_s,
  summarise,
  windowPicture,
  window_s,
  type SteadySuperheat,
} from '@coldrounds/core';
import { sliceSeries } from '../../assessment/circuit/slices.js';
import { mainsLosses } from '../../assessment/circuit/mains-losses.js';
import { sensorSource } from '../../findings/sensor-source.js';
import type { FleetCircuit } from '../../storage/fleet.js';
import { dayOf, type WindowResultRow } from '../../storage/repositories/results/window.repository.js';
import {
  circuitOf,
  column,
  day_s,
  everyNth,
  named,
  nothing,
  type EvidenceContext,
} from './evidence-context.js';
import { stretchWithMost } from './stretch-with-most.js';

const swing_s = 1200;

/**
 * Twenty minutes of a swing: of the finding's last week the hunting window that is nearest to amplitude and period of
 * the headline, and in it the stretch with the most cycles.
 */
export async function swing(context: EvidenceContext) {
  const circuit = circuitOf(context)!;
  const { sources, unit, finding } = context;
  const from_s = Math.max(finding.firstSeen_s - window_s, finding.lastSeen_s - 7 * day_s);
  const windows = await sources.windows.judgements(circuit.id, from_s, finding.lastSeen_s + 1);
  const hunting = windows.filter(({ detail }) => detail.oscillation.oscillating !== null && hunts(detail));
  const shown = likeHeadline(hunting, named(finding, 'amplitude'), named(finding, 'period'));
  if (shown === null) return nothing('No window in which it hunts is stored any more.');
  const span = { from_s: shown.start_s, to_s: shown.start_s + window_s };
  const series = await sources.readings.circuitSeries(circuit.id, span.from_s, span.to_s);
  const powerLost = await mainsLosses(sources.readings, unit, circuit.number, span.from_s, span.to_s);
  const picture = windowPicture({
    series,
    refrigerant: unit.refrigerant,
    unit,
    window: span,
    powerLost,
  });
  const start_s = stretchWithMost(
    picture.cycles.map((cycle) => (cycle.from_s + cycle.to_s) / 2),
    swing_s,
  );
  if (start_s === null) return nothing('The readings of the window in which it hunts are no longer stored.');
  const inside = [...picture.trace.time_s.keys()].filter((index) => {
    const time = picture.trace.time_s[index];
    return time >= start_s && time <= start_s + swing_s;
  });
  const kept = everyNth(inside.length).map((index) => inside[index]);
  return {
    kind: 'swing' as const,
    circuit: circuit.number,
    time_s: kept.map((index) => picture.trace.time_s[index]),
    superheat_K: column(kept.map((index) => picture.trace.superheat_K[index] ?? NaN)),
    valveOpening_pct: column(kept.map((index) => picture.trace.valveOpening_pct[index] ?? NaN)),
    cycles: picture.cycles
      .filter((cycle) => cycle.from_s >= start_s && cycle.to_s <= start_s + swing_s)
      .map((cycle) => ({ from_s: cycle.from_s, to_s: cycle.to_s })),
    period_s: shown.detail.oscillation.period_s,
    amplitude_K: shown.detail.oscillation.amplitude,
    floodbackLimit_K: circuit.entry.floodbackLimit_K,
  };
}

/** The window whose amplitude and period together are nearest to those of the headline, the newest of equals. */
function likeHeadline(
  windows: WindowResultRow[],
  amplitude_K: number | null,
  period_s: number | null,
): WindowResultRow | null {
  const apart = (value: number | null, named: number | null) =>
    named === null ? 0 : value === null ? Infinity : Math.abs(Math.log(value / named));
  const off = ({ detail: { oscillation } }: WindowResultRow) =>
    apart(oscillation.amplitude, amplitude_K) + apart(oscillation.period_s, period_s);
  return [...windows].sort((a, b) => off(a) - off(b) || b.start_s - a.start_s)[0] ?? null;
}

const binWidth_K = 0.5;
/** Superheat outside is counted in the outermost bins, K. */
const reach_K = { low: -5, high: 30 };

/** The superheat that was judged in each window with steady running, read a day at a time. */
async function* judgedWindows(
  { sources, unit }: EvidenceContext,
  circuit: FleetCircuit,
  windows: readonly WindowResultRow[],
): AsyncGenerator<SteadySuperheat & { start_s: number }> {
  const learned = (await sources.windows.learnedHabits([circuit.id])).get(circuit.id) ?? null;
  const steady = windows.filter(({ detail }) => detail.minutes.steady > 0);
  for (const day of new Set(steady.map(({ start_s }) => dayOf(start_s)))) {
    const all = await sources.readings.circuitSeries(circuit.id, day, day + day_s);
    const powerLost = await mainsLosses(sources.readings, unit, circuit.number, day, day + day_s);
    for (const { start_s } of steady)
      if (dayOf(start_s) === day)
        yield {
          start_s,
          ...judgedSuperheat({
            series: sliceSeries(all, start_s, start_s + window_s),
            refrigerant: unit.refrigerant,
            unit: { ...unit, learned },
            powerLost,
          }),
        };
  }
}

/** Superheat over the steady running of the finding's last week, in bins, with the share beyond its limit. */
export async function distribution(context: EvidenceContext, side: 'under' | 'over', fixed_K?: number) {
  const circuit = circuitOf(context)!;
  const { sources, finding, now_s } = context;
  const limit_K = fixed_K ?? named(finding, 'limit') ?? circuit.entry.floodbackLimit_K;
  const newest = (await sources.windows.newest([circuit.id])).get(circuit.id);
  const runsTo_s = Math.ceil(now_s / window_s) * window_s;
  const to_s = Math.max(finding.lastSeen_s, Math.min(runsTo_s, newest?.to_s ?? finding.lastSeen_s));
  const from_s = lastDaysFrom_s(to_s, 7);
  const all = await sources.windows.judgements(circuit.id, from_s, to_s + 1);
  const correction = await correctionOf(context, circuit, all);
  const windows = all.filter(({ start_s }) => correction === null || correction.shift_K.has(start_s));
  const count = Math.round((reach_K.high - reach_K.low) / binWidth_K);
  const time_s = new Float64Array(count);
  let beyond_s = 0;
  let steady_s = 0;
  for await (const { start_s, superheat_K, weight_s } of judgedWindows(context, circuit, windows)) {
    const shift_K = correction?.shift_K.get(start_s) ?? 0;
    superheat_K.forEach((read_K, index) => {
      const value = read_K + shift_K;
      if (!Number.isFinite(value)) return;
      const bin = Math.floor((value - reach_K.low) / binWidth_K);
      time_s[Math.max(0, Math.min(count - 1, bin))] += weight_s[index];
      steady_s += weight_s[index];
      if (side === 'under' ? value < limit_K : value > limit_K) beyond_s += weight_s[index];
    });
  }
  if (steady_s === 0) return nothing('No readings of steady running are stored from this time.');
  return {
    kind: 'distribution' as const,
    circuit: circuit.number,
    from_s,
    to_s,
    binWidth_K,
    from_K: Array.from({ length: count }, (_, index) => reach_K.low + index * binWidth_K),
    share: Array.from(time_s, (time) => Number((time / steady_s).toPrecision(5))),
    limit_K,
    side,
    beyondFraction: (side === 'under' ? correction?.underFraction : null) ?? beyond_s / steady_s,
    steady_s,
  };
}

/**
 * Where a finding is about superheat without the measured error of a sensor: by how much that lies over what was read, of each
 * window that is counted, and the share under the limit that is said of them. Null where it is about superheat as read.
 */
async function correctionOf(
  { sources, unit, finding }: EvidenceContext,
  circuit: FleetCircuit,
  windows: readonly WindowResultRow[],
): Promise<{ shift_K: Map<number, number>; underFraction: number | null } | null> {
  if (!finding.corrected) return null;
  const verdicts = await sources.findings.verdictsOf(unit.circuits.map(sensorSource));
  const week = windows.map(({ detail }) => detail);
  const level = correctedLevel({ week, day: [], earlier: [] }, unit.refrigerant, circuit.entry, verdicts);
  if (level === null) return null;
  const read = new Map(week.map((window) => [window.from_s, window.superheat?.mean_K]));
  return {
    shift_K: new Map(
      level.week.map(({ from_s, superheat }) => [from_s, (superheat?.mean_K ?? 0) - (read.get(from_s) ?? 0)]),
    ),
    underFraction: summarise(level.week)?.underLimitFraction ?? null,
  };
}

type LoadedQuantity = 'superheat' | 'subcooling' | 'opening' | 'condensing';

/** One point for each window with ten steady minutes or more in 28 days, over the load it ran at. */
export async function overLoad(context: EvidenceContext, quantities: LoadedQuantity[], whole = false) {
  const { sources, unit, finding } = context;
  const to_s = finding.lastSeen_s + 1;
  const own = circuitOf(context)!;
  const circuits = [];
  for (const { id, number } of whole ? unit.circuits : [own]) {
    const rows = await sources.windows.judgements(id, to_s - 28 * day_s, to_s);
    const used = rows.filter(({ detail }) => detail.superheat !== null && detail.superheat.minutes >= 10);
    const of = (read: (row: WindowResultRow) => number | null) => column(used.map((row) => read(row) ?? NaN));
    circuits.push({
      circuit: number,
      time_s: used.map(({ start_s }) => start_s),
      load_pct: of(({ detail }) => detail.conditions.compressorLoad_pct),
      superheat_K: of(({ detail }) => detail.superheat!.mean_K),
      setpoint_K: of(({ detail }) => detail.superheat!.setpoint_K),
      subcooling_K: of(({ detail }) => detail.conditions.subcooling_K),
      opening_pct: of(({ detail }) => detail.conditions.valveOpening_pct),
      condensing_K: of(({ detail }) => detail.conditions.condensingTemperature_K),
    });
  }
  if (circuits.every(({ time_s }) => time_s.length === 0))
    return nothing('No windows with steady running are stored from this time.');
  return { kind: 'over-load' as const, since_s: finding.firstSeen_s, quantities, circuits };
}

/** Reversals and travel of the valve by day, each scaled to 24 h of what was observed. */
export async function wear(context: EvidenceContext) {
  const circuit = circuitOf(context)!;
  const to_s = context.finding.lastSeen_s + 1;
  const rows = await context.sources.windows.judgements(circuit.id, to_s - 28 * day_s, to_s);
  const days = new Map<number, { minutes: number; reversals: number; travel: number }>();
  for (const { start_s, detail } of rows) {
    if (detail.valve === null) continue;
    const day = Math.floor(start_s / day_s) * day_s;
    const sum = days.get(day) ?? { minutes: 0, reversals: 0, travel: 0 };
    sum.minutes += detail.valve.minutes;
    sum.reversals += detail.valve.reversals;
    sum.travel += detail.valve.travel_strokes;
    days.set(day, sum);
  }
  const seen = [...days].filter(([, { minutes }]) => minutes >= 360).sort(([a], [b]) => a - b);
  if (seen.length === 0) return nothing('No day with six hours of valve readings is stored from this time.');
  const perDay = (read: (sum: { reversals: number; travel: number }) => number) =>
    column(seen.map(([, sum]) => (read(sum) / sum.minutes) * 1440));
  return {
    kind: 'wear' as const,
    circuit: circuit.number,
    day_s: seen.map(([day]) => day),
    reversals: perDay(({ reversals }) => reversals),
    travel_strokes: perDay(({ travel }) => travel),
  };
}
