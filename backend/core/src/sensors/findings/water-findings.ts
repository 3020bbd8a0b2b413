import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import { refrigerantNames, saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { PressureTransducerEntry } from '../../telemetry/registry.js';
import { offsetAtLowLoad } from '../running/approach-at-low-load.js';
import { medianOf } from '../running/running-state.js';
import type { RunningMedians } from '../running/running-evidence.js';
import {
  offsetAfterStops,
  type PressureReading,
  type WaterOffset,
} from '../standstill/saturation-against-water.js';
import { shortStops, type ShortStop } from '../standstill/short-stops.js';
import { effectOfRegistry } from './effect-on-machine.js';
import { errorOfRefrigerant } from './refrigerant-error.js';
import { duration, kelvins, sensorWords, weather_Pa, type SensorDraft } from './sensor-findings.js';

export interface WaterInput {
  refrigerant: string;
  transducer: PressureTransducerEntry;
  series: CircuitSeries;
  flags: Uint8Array;
  /** Indices of settled running. */
  running: readonly number[];
  medians: RunningMedians | null;
  atmosphere_Pa: number;
}

/** What saturation against the water showed; nulls where there was too little to see. */
export interface WaterEvidence {
  afterStops: WaterOffset | null;
  atLowLoad: WaterOffset | null;
  together: WaterOffset | null;
}

/** Judgement, no source. */
const limits = {
  /** Offset over its uncertainty, and in kelvins, from which the registered reading is wrong. */
  coverage: 3,
  least_K: 2.5,
  /** Offset over its uncertainty up to which another reading fits. */
  fits: 2.5,
  /** By how much superheat must come closer to its setpoint, K. */
  closer_K: 1,
  /** Readings about as good as the best are named with it. */
  alike: 1,
  /** Fewest stops, or one of this length, s. */
  stops: 2,
  longStop_s: 600,
};

/** What the suction pressure may be instead of what is registered. */
interface Candidate {
  kind: 'reference' | 'refrigerant';
  reading: PressureReading;
  offset: WaterOffset;
  superheat_K: number;
  score: number;
}

/**
 * Whether suction pressure is gauge where absolute is registered (or the reverse), or the refrigerant another one, from
 * saturation against water in short stops and at low load. Something else must fit where the registered reading does
 * not, while running, too: superheat nearer to its setpoint. Nothing is said of a unit that heats.
 */
export function waterDrafts(input: WaterInput): { drafts: SensorDraft[]; evidence: WaterEvidence } {
  const stops = shortStops(input.series, input.flags);
  const registered: PressureReading = {
    refrigerant: input.refrigerant,
    added_Pa: 0,
    tolerance_Pa: input.transducer.tolerance,
  };
  const evidence = evidenceFor(input, stops, registered);
  const nothing = { drafts: [], evidence };
  const { together } = evidence;
  if (!together || !input.medians || !enough(stops, evidence) || !cools(input)) return nothing;
  if (!isOff(evidence)) return nothing;
  const found = candidates(input, stops, registered, input.medians);
  if (found.length === 0) return nothing;
  const alike = found.filter(({ score }) => score < found[0].score + limits.alike);
  return { drafts: [draftOf(input, stops, together, alike)], evidence };
}

/** Saturation lies off the water by more than its uncertainty and by kelvins. */
export function isOff({ together }: WaterEvidence): boolean {
  const off_K = Math.abs(together?.offset_K ?? 0);
  return together !== null && off_K >= limits.least_K && off_K >= limits.coverage * together.uncertainty_K;
}

function evidenceFor(
  input: WaterInput,
  stops: readonly ShortStop[],
  reading: PressureReading,
): WaterEvidence {
  const afterStops = offsetAfterStops(stops, reading);
  const atLowLoad = offsetAtLowLoad(input.series, input.running, reading);
  return { afterStops, atLowLoad, together: joined(afterStops, atLowLoad) };
}

/** Mean of both, each by its inverse variance. */
function joined(a: WaterOffset | null, b: WaterOffset | null): WaterOffset | null {
  if (!a || !b) return a ?? b;
  const [wa, wb] = [1 / a.uncertainty_K ** 2, 1 / b.uncertainty_K ** 2];
  return {
    ...a,
    offset_K: (wa * a.offset_K + wb * b.offset_K) / (wa + wb),
    uncertainty_K: 1 / Math.sqrt(wa + wb),
  };
}

const enough = (stops: readonly ShortStop[], { afterStops, atLowLoad }: WaterEvidence): boolean =>
  atLowLoad !== null ||
  (afterStops !== null &&
    (stops.length >= limits.stops || stops[0].at_s[stops[0].at_s.length - 1] >= limits.longStop_s));

/** The evaporator is where the water is cooled: leaving under entering while running. */
function cools({ series, running }: WaterInput): boolean {
  const difference_K = medianOf(
    running.map((i) => series.enteringWaterTemperature_K[i] - series.leavingWaterTemperature_K[i]),
    30,
  );
  return difference_K > 0.2;
}

function candidates(
  input: WaterInput,
  stops: readonly ShortStop[],
  registered: PressureReading,
  medians: RunningMedians,
): Candidate[] {
  const added_Pa = input.transducer.reference === 'absolute' ? input.atmosphere_Pa : -input.atmosphere_Pa;
  const readings: [Candidate['kind'], PressureReading][] = [
    ['reference', { ...registered, added_Pa }],
    ...refrigerantNames()
      .filter((refrigerant) => refrigerant !== input.refrigerant)
      .map((refrigerant): [Candidate['kind'], PressureReading] => [
        'refrigerant',
        { ...registered, refrigerant },
      ]),
  ];
  const shown = superheatAs(registered, medians);
  const setpoint_K = medians.superheatSetpoint_K;
  const off = (superheat_K: number) => Math.abs(superheat_K - setpoint_K);
  return readings
    .flatMap(([kind, reading]): Candidate[] => {
      const offset = evidenceFor(input, stops, reading).together;
      const superheat_K = superheatAs(reading, medians);
      if (!offset || Math.abs(offset.offset_K) > limits.fits * offset.uncertainty_K) return [];
      if (!possibleRunning(reading, medians, superheat_K)) return [];
      const setpointKnown = Number.isFinite(setpoint_K);
      if (setpointKnown && !(off(superheat_K) + limits.closer_K < off(shown))) return [];
      if (!setpointKnown && possibleRunning(registered, medians, shown)) return [];
      const score = Math.abs(offset.offset_K) / offset.uncertainty_K + (setpointKnown ? off(superheat_K) : 1);
      return [{ kind, reading, offset, superheat_K, score }];
    })
    .sort((a, b) => a.score - b.score);
}

const superheatAs = ({ refrigerant, added_Pa }: PressureReading, medians: RunningMedians): number =>
  medians.suctionTemperature_K -
  saturationCurve(refrigerant, 'dew').temperature(medians.suctionPressure_Pa + added_Pa);

/** Vapour leaves dry but not absurdly hot, and evaporates under the water that leaves. */
function possibleRunning(
  { refrigerant, added_Pa }: PressureReading,
  medians: RunningMedians,
  superheat_K: number,
): boolean {
  const bubble_K = saturationCurve(refrigerant, 'bubble').temperature(medians.suctionPressure_Pa + added_Pa);
  const approach_K = medians.leavingWaterTemperature_K - bubble_K;
  return superheat_K >= -1 && superheat_K <= 15 && approach_K >= -0.5 && approach_K <= 15;
}

function draftOf(
  input: WaterInput,
  stops: readonly ShortStop[],
  shown: WaterOffset,
  alike: readonly Candidate[],
): SensorDraft {
  const [best] = alike;
  const reference = alike.find(({ kind }) => kind === 'reference');
  const others = alike.filter(({ kind }) => kind === 'refrigerant').map(({ reading }) => reading.refrigerant);
  const either = reference !== undefined && others.length > 0;
  const gauge = input.transducer.reference === 'absolute';
  const times_s = [...stops.map(({ from_s }) => from_s), ...stops.map(({ to_s }) => to_s)];
  const { series, running } = input;
  const referenceCause = gauge
    ? 'the transducer sends gauge pressure, but is registered as absolute'
    : 'the transducer sends absolute pressure, but is registered as gauge';
  const reasons = reasonsOf(input, shown, best);
  return {
    condition: reference ? 'gauge-taken-for-absolute' : 'wrong-refrigerant',
    sensor: 'suction-pressure',
    headline: reference
      ? statement(
          gauge
            ? `The ${sensorWords['suction-pressure']} sends gauge pressure, but is registered as absolute.`
            : `The ${sensorWords['suction-pressure']} sends absolute pressure, but is registered as gauge.`,
        )
      : statement(
          `The circuit behaves like ${others.join(' or ')}, not like the registered ${input.refrigerant}.`,
        ),
    reasons,
    explanations: either
      ? [
          { cause: referenceCause, weight: 0.5, supports: reasons.slice(0, 1), contradicts: [] },
          {
            cause: `${others.join(' or ')} in the circuit instead of the registered ${input.refrigerant}`,
            weight: 0.5,
            supports: reasons.slice(0, 1),
            contradicts: [],
          },
        ]
      : [],
    separatingCheck: statement(
      "Read on the transducer's label or in the unit's documents whether it is gauge or absolute, and the refrigerant on the unit's nameplate.",
    ),
    error: either ? undefined : errorAs(input, alike),
    certainty: either ? 'possible' : 'likely',
    urgency: 'this-week',
    score: 60,
    visit: [
      statement(
        'Usually no visit is needed: correct the registry and check whether saturation then agrees with the water.',
      ),
    ],
    firstSeen_s: times_s.length > 0 ? Math.min(...times_s) : series.time_s[running[0]],
    lastSeen_s: times_s.length > 0 ? Math.max(...times_s) : series.time_s[running[running.length - 1]],
  };
}

/** The error of the suction pressure where one reading alone fits. */
function errorAs(
  { refrigerant, transducer, atmosphere_Pa, medians }: WaterInput,
  [best, ...others]: readonly Candidate[],
): SensorDraft['error'] {
  if (others.length > 0) return undefined;
  if (best.kind === 'refrigerant')
    return errorOfRefrigerant(refrigerant, best.reading.refrigerant, medians!.suctionPressure_Pa);
  const gauge = transducer.reference === 'absolute';
  return { bias: gauge ? -atmosphere_Pa : atmosphere_Pa, uncertainty: weather_Pa };
}

function reasonsOf({ refrigerant, medians }: WaterInput, shown: WaterOffset, best: Candidate): Statement[] {
  const instead = best.kind === 'reference' ? 'with the other reference' : `with ${best.reading.refrigerant}`;
  const offsets = {
    shown: kelvins(Math.abs(shown.offset_K), shown.uncertainty_K),
    rest: kelvins(Math.abs(best.offset.offset_K), best.offset.uncertainty_K),
  };
  const side = shown.offset_K < 0 ? 'below' : 'above';
  const setpoint_K = medians!.superheatSetpoint_K;
  return [
    shown.lag_s !== null
      ? statement(
          `In {count} stops, saturation settled {shown} ${side} the water temperature (time constant {lag}); ${instead} it would be {rest} off.`,
          {
            ...offsets,
            count: quantity('count', shown.stops),
            lag: duration(Number(shown.lag_s.toPrecision(2))),
          },
        )
      : statement(
          `Extrapolated to no load, saturation lies {shown} ${side} the water temperature, where the two must be equal; ${instead} it would be {rest} off.`,
          offsets,
        ),
    ...(Number.isFinite(setpoint_K)
      ? [
          statement(
            `While running, superheat would be {best} ${instead} and is {shown} with ${refrigerant} as registered; the setpoint is {setpoint}.`,
            {
              best: kelvins(best.superheat_K),
              shown: kelvins(superheatAs({ refrigerant, added_Pa: 0, tolerance_Pa: 0 }, medians!)),
              setpoint: kelvins(setpoint_K),
            },
          ),
        ]
      : []),
    effectOfRegistry,
  ];
}
