import type { Finding, Hazard } from '../diagnosis/finding.js';
import { refrigerantFacts } from '../refrigerants/index.js';
import { standardAtmosphere_Pa } from '../units/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import { defaultsOf, withoutDefaults } from '../habits/without-defaults.js';
import { withoutHeldLines } from '../habits/signal/held-line.js';
import { prepareSeries } from '../habits/prepare-series.js';
import {
  shownWithin,
  type SeriesHabits,
  type SignalHabit,
  type SignalName,
  type SiteFacts,
} from '../habits/signal/signal-habit.js';
import { runningSamples } from '../modes/running.js';
import type { CircuitEntry, SensorEntry } from '../telemetry/registry.js';
import { biasDrafts } from './findings/bias-findings.js';
import {
  floodedBehindLooseSensor,
  looseSuctionSensor,
  runningMedians,
  sensorInTheAir,
  swappedFraction,
  type RunningMedians,
} from './running/running-evidence.js';
import { impossibleRunning } from './running/impossible-running.js';
import { runningFlags, settledRunning, stretchesOf, type Stretch } from './running/running-state.js';
import { readsAmbient, readsAnotherPlace } from './running/reads-another-place.js';
import { findingOf, type SensorDraft } from './findings/sensor-findings.js';
import { companionOf } from './signals/companion.js';
import { lostLine } from './signals/lost-line.js';
import { endOfSpan, signalFaults } from './signals/signal-health.js';
import { looseDraft, signalDraft, swappedDraft } from './findings/signal-findings.js';
import { anotherPlaceDraft, impossibleDraft } from './findings/wrong-point-findings.js';
import { isOff, waterDrafts, type WaterEvidence } from './findings/water-findings.js';
import { settledStandstills, type SettledStandstill } from './standstill/standstill.js';
import {
  thermalConsensus,
  type Consensus,
  type SensorName,
  type ShownWithin,
} from './standstill/thermal-consensus.js';

export interface SensorInput {
  refrigerant: string;
  circuit: CircuitEntry;
  /** The last 24 to 48 hours as sent, with the water and ambient columns. */
  series: CircuitSeries;
  /** The registry's unit: how its gateway sends, and whether it can run reversed. */
  unit?: SiteFacts | undefined;
  /** How the signals are sent; learned from the series when left out. */
  habits?: SeriesHabits | undefined;
  /** Air pressure at the site, for gauges taken for absolute; the standard atmosphere at sea level by default. */
  atmosphere_Pa?: number;
}

export interface SensorAssessment {
  findings: Finding[];
  /** What could be looked at: without a settled standstill no bias can be told. */
  standstills: { seen: SettledStandstill; consensus: Consensus | null }[];
  running: RunningMedians | null;
  /** Saturation against water after short stops and at low load; null where long stops said it, or it was not to be judged. */
  water: WaterEvidence | null;
  /** How the signals are sent, as it was learned or given. */
  habits: SeriesHabits;
}

const sensorColumns: Record<SensorName, { column: keyof CircuitSeries; entry: keyof CircuitEntry }> = {
  'suction-pressure': { column: 'suctionPressure_Pa', entry: 'suctionPressure' },
  'discharge-pressure': { column: 'dischargePressure_Pa', entry: 'dischargePressure' },
  'suction-temperature': { column: 'suctionTemperature_K', entry: 'suctionTemperature' },
  'discharge-temperature': { column: 'dischargeTemperature_K', entry: 'dischargeTemperature' },
  'liquid-temperature': { column: 'liquidTemperature_K', entry: 'liquidTemperature' },
};

/**
 * Whether a circuit's own sensors can be right, from its telemetry alone and no reference instrument:
 *
 * - each signal by itself: frozen, jumping, clipped, noisier than its class;
 * - running: suction above discharge pressure (swapped), suction sensor following the ambient (loose), or being another
 *   sensor than its name says;
 * - short stops and low load: saturation against water, where no long stop tells (gauge taken for absolute, wrong
 *   refrigerant);
 * - settled standstill: which instrument disagrees with the others about the one temperature they all share (bias, gauge
 *   taken for absolute, wrong refrigerant).
 *
 * A sensor that stands still is left out of the standstill comparison. Without enough data a check stays silent; what there was to see
 * is in the result.
 * @throws UnknownRefrigerantError.
 */
export function assessSensors(input: SensorInput): SensorAssessment {
  const { circuit, refrigerant } = input;
  const { series, habits } = prepareSeries(input.series, {
    habits: input.habits,
    reporting: input.unit?.reporting,
  });
  const flags = runningFlags(series, { refrigerant, unit: input.unit });
  const running = settledRunning(series, flags);
  const standing = stretchesOf(series, flags, 0, 1800);
  const atmosphere_Pa = input.atmosphere_Pa ?? standardAtmosphere_Pa;
  const { drafts, failed, stuck } = eachSignal(
    { ...input, series, habits, asSent: input.series },
    flags,
    standing,
    atmosphere_Pa,
  );

  const shown = shownOf(habits, circuit);
  const heard = withoutHeldLines(series, habits, [
    'suctionPressure_Pa',
    'suctionTemperature_K',
    'dischargePressure_Pa',
  ]);
  const medians = runningMedians(heard, running);
  const swappedTime =
    failed.has('suction-pressure') || failed.has('discharge-pressure')
      ? null
      : swappedFraction(series, running);
  const swapped = swappedTime !== null && swappedTime > 0.9;
  if (swapped) drafts.push(swappedDraft(swappedTime, series, running, knownToCool(input, running)));

  const standstills = settledStandstills(refrigerant, heard, flags).map((seen) => {
    const sound = without(stuck, seen);
    return { seen: sound, consensus: thermalConsensus(refrigerant, sound, shown) };
  });
  const bias = biasDrafts({
    refrigerant,
    standstills,
    running: swapped ? null : medians,
    atmosphere_Pa,
    ...registeredOf(circuit),
  });
  drafts.push(...bias);
  // A long stop says it better; a reading that stands or is mixed up says nothing.
  const longStop = standstills.some(({ consensus }) => consensus !== null);
  const water =
    longStop || swapped || failed.has('suction-pressure')
      ? null
      : waterDrafts({
          refrigerant,
          transducer: circuit.suctionPressure,
          series: heard,
          flags,
          running,
          medians,
          atmosphere_Pa,
        });
  if (water) drafts.push(...water.drafts);
  const doubted = new Set([
    ...failed,
    ...bias.map(({ sensor }) => sensor),
    ...(water?.drafts ?? []).map(({ sensor }) => sensor),
  ]);
  // Saturation that lies off the water makes the pressure doubtful, whether or not it is told what is wrong with it.
  if (water && isOff(water.evidence)) doubted.add('suction-pressure');
  const elsewhere = failed.has('suction-temperature')
    ? null
    : readsAnotherPlace(series, flags, (shown['suction-temperature'] ?? 0) + (shown.water ?? 0));
  if (!elsewhere && !swapped && !doubted.has('suction-pressure') && !doubted.has('suction-temperature'))
    drafts.push(...looseDrafts(input, series, { running, medians, longStop, flags, shown }));
  const impossible = swapped ? null : impossibleRunning(refrigerant, heard, running);
  const said = withWrongPoints(drafts, {
    elsewhere: elsewhere && anotherPlaceDraft(elsewhere, series),
    impossible: impossible && impossibleDraft(impossible, series, running),
  });
  const hazards = hazardsOf(refrigerant);
  return {
    findings: said.map((draft) => findingOf(circuit.number, draft, hazards)),
    standstills,
    running: medians,
    water: water?.evidence ?? null,
    habits,
  };
}

function looseDrafts(
  { refrigerant }: SensorInput,
  series: CircuitSeries,
  seen: {
    running: readonly number[];
    medians: RunningMedians | null;
    longStop: boolean;
    flags: Uint8Array;
    shown: ShownWithin;
  },
): SensorDraft[] {
  const { medians, flags, shown } = seen;
  const within_K = (shown['suction-temperature'] ?? 0) + (shown.ambient ?? 0);
  const loose =
    looseSuctionSensor(refrigerant, series, seen.running) ??
    (medians ? floodedBehindLooseSensor(refrigerant, medians) : null) ??
    (medians && readsAmbient(refrigerant, series, flags, within_K)
      ? sensorInTheAir(refrigerant, medians)
      : null);
  return loose ? [looseDraft(loose, series, seen.running, seen.longStop)] : [];
}

const registeredOf = ({ suctionPressure, dischargePressure, floodbackLimit_K }: CircuitEntry) => ({
  floodbackLimit_K,
  gauges: suctionPressure.reference === 'gauge' && dischargePressure.reference === 'gauge',
});

/** Findings on the level of a reading. */
const ofLevel: ReadonlySet<string> = new Set([
  'sensor-bias',
  'gauge-taken-for-absolute',
  'wrong-refrigerant',
  'sensor-loose',
]);

/** What was found of sensors, where points of the gateway are mixed up: no sensor is wrong then by what they show. */
function withWrongPoints(
  drafts: readonly SensorDraft[],
  { elsewhere, impossible }: { elsewhere: SensorDraft | null; impossible: SensorDraft | null },
): SensorDraft[] {
  const own = elsewhere
    ? [
        // What it reads of another place is no error of the sensor, and superheat tells no refrigerant then.
        ...drafts.filter(
          ({ sensor, condition }) => sensor !== 'suction-temperature' && condition !== 'wrong-refrigerant',
        ),
        elsewhere,
      ]
    : [...drafts];
  // One error that was found explains running as no machine runs; what seems wrong with several sensors is the unit that they share.
  const ofRunning = own.filter(
    ({ condition, sensor }) => ofLevel.has(condition) || sensor.startsWith('suction'),
  );
  return impossible && ofRunning.length !== 1
    ? [...own.filter(({ condition }) => !ofLevel.has(condition)), impossible]
    : own;
}

/** The registry says that the unit only cools, or its water temperatures are sent, by which `runningFlags` tells. */
const knownToCool = ({ series, unit }: SensorInput, running: readonly number[]): boolean =>
  unit?.reversible === false ||
  running.filter((i) =>
    Number.isFinite(series.enteringWaterTemperature_K[i] + series.leavingWaterTemperature_K[i]),
  ).length >
    running.length / 2;

/** What the signals betray each by itself: drafts, the sensors that failed, and those whose value does not follow. */
function eachSignal(
  {
    circuit,
    series,
    refrigerant,
    habits,
    asSent,
  }: SensorInput & { habits: SeriesHabits; asSent: CircuitSeries },
  flags: Uint8Array,
  standing: readonly Stretch[],
  atmosphere_Pa: number,
) {
  const changes: number[] = [];
  for (let i = 1; i < flags.length; i++) {
    if (flags[i] !== flags[i - 1] && flags[i] !== 255 && flags[i - 1] !== 255) changes.push(series.time_s[i]);
  }
  const otherMode = runningSamples(series, refrigerant).map((on, i) =>
    on === 1 && flags[i] === 255 ? 1 : 0,
  );
  const defaults = defaultsOf(habits);
  const read = withoutDefaults(asSent, defaults);
  const drafts: SensorDraft[] = [];
  const failed = new Set<SensorName>();
  const stuck = new Set<SensorName>();
  for (const [sensor, { column, entry }] of Object.entries(sensorColumns) as [
    SensorName,
    (typeof sensorColumns)[SensorName],
  ][]) {
    const gauge = sensor.endsWith('pressure') && circuit[sensorKey(sensor)].reference === 'gauge';
    const registered = circuit[entry] as SensorEntry;
    const shift = gauge ? atmosphere_Pa : 0;
    const habit = habits.signals[column as SignalName];
    const highest = registered.maximum + shift - endOfSpan * (registered.maximum - registered.minimum);
    // A circuit at rest in a hot room may pass what its suction transducer is made for.
    const outside = sensor.endsWith('pressure')
      ? otherMode.map((other, i) => (other === 1 || (flags[i] !== 1 && series[column][i] >= highest) ? 1 : 0))
      : otherMode;
    const lost = lostLine(asSent, column as SignalName, defaults);
    if (lost) {
      drafts.push(signalDraft(sensor, lost));
      failed.add(sensor);
      continue;
    }
    for (const fault of signalFaults({
      time_s: series.time_s,
      values: series[column],
      asSent: habits.reporting === 'on-change' ? series[column] : read[column],
      sent: habit,
      companion: companionOf(sensor, series, refrigerant, habit),
      changes,
      flags,
      otherMode: outside,
      standing,
      sensor: { ...registered, minimum: registered.minimum + shift, maximum: registered.maximum + shift },
      leastJump: sensor.endsWith('pressure') ? 0.12e5 : 1.2,
    })) {
      // A range that ends under the pressure at rest harms nothing but what a stop tells.
      if (!fault.atRest) drafts.push(signalDraft(sensor, fault));
      failed.add(sensor);
      // Scatter and single jumps leave a median right; a value that stands does not.
      if (fault.kind === 'value-frozen' || fault.kind === 'value-clipped') stuck.add(sensor);
    }
  }
  return { drafts, failed, stuck };
}

function hazardsOf(refrigerant: string): Hazard[] {
  const { flammable, toxic } = refrigerantFacts(refrigerant);
  return [...(flammable ? (['flammable'] as const) : []), ...(toxic ? (['toxic'] as const) : [])];
}

/** Steps finer than this fraction of the tolerance are the converter's own, which noise averages out. Judgement, no source. */
const ownStep = 0.2;

/** Whatever lies between steps and deadbands, by instrument. */
function shownOf({ signals }: SeriesHabits, circuit: CircuitEntry): ShownWithin {
  const within = (habit: SignalHabit, { tolerance }: SensorEntry) =>
    habit.resolution + habit.deadband <= ownStep * tolerance ? 0 : shownWithin(habit);
  return {
    'suction-pressure': within(signals.suctionPressure_Pa, circuit.suctionPressure),
    'discharge-pressure': within(signals.dischargePressure_Pa, circuit.dischargePressure),
    'suction-temperature': within(signals.suctionTemperature_K, circuit.suctionTemperature),
    'discharge-temperature': within(signals.dischargeTemperature_K, circuit.dischargeTemperature),
    'liquid-temperature': within(signals.liquidTemperature_K, circuit.liquidTemperature),
    water: Math.max(
      shownWithin(signals.leavingWaterTemperature_K),
      shownWithin(signals.enteringWaterTemperature_K),
    ),
    ambient: shownWithin(signals.ambientTemperature_K),
  };
}

const sensorKey = (sensor: SensorName) =>
  sensor === 'suction-pressure' ? ('suctionPressure' as const) : ('dischargePressure' as const);

function without(stuck: ReadonlySet<SensorName>, seen: SettledStandstill): SettledStandstill {
  const sound = { ...seen };
  for (const sensor of stuck) {
    (sound as unknown as Record<string, number>)[sensorColumns[sensor].column] = NaN;
  }
  return sound;
}
