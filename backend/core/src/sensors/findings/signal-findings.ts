import type { Explanation } from '../../diagnosis/finding.js';
import { quantity, statement, type Quantity } from '../../diagnosis/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { LooseEvidence } from '../running/running-evidence.js';
import { effectOfLooseSensor, effectOfSignal, notOfControl } from './effect-on-machine.js';
import { duration, kelvins, sensorWords, type SensorDraft } from './sensor-findings.js';
import type { SignalFault } from '../signals/signal-health.js';
import type { SensorName } from '../standstill/thermal-consensus.js';

const isPressure = (sensor: SensorName) => sensor.endsWith('pressure');
const level = (sensor: SensorName, value: number): Quantity =>
  quantity(isPressure(sensor) ? 'pressure' : 'temperature', value);
const size = (sensor: SensorName, value: number): Quantity =>
  quantity(isPressure(sensor) ? 'pressure-difference' : 'temperature-difference', value);

const wiring = statement(
  'Check plug, cable and shield of the sensor first; then compare it with a reference instrument.',
);

/** Cut off for so much of the time, a value guides a controller as little as one that stands. Judgement, no source. */
const deadFraction = 0.2;

/** Jumps are taken out sample by sample: fewer than one an hour spoil nothing else, and are only watched. Judgement, no source. */
const isOften = ({ measure, from_s, to_s }: SignalFault): boolean =>
  measure >= Math.max(1, (to_s - from_s) / 3600);

/** What a signal betrays by itself, as a draft. */
export function signalDraft(sensor: SensorName, fault: SignalFault): SensorDraft {
  const words = sensorWords[sensor];
  const common = {
    condition: fault.kind,
    sensor,
    visit: [wiring],
    firstSeen_s: fault.from_s,
    lastSeen_s: fault.to_s,
  };
  const suction = sensor.startsWith('suction');
  const effect = suction ? effectOfSignal[fault.kind] : notOfControl;
  switch (fault.kind) {
    case 'value-frozen':
      return {
        ...common,
        headline: statement(`The ${words} has read exactly {value} for {time}.`, {
          value: level(sensor, fault.value),
          time: duration(fault.measure),
        }),
        reasons: [
          statement(
            'The value did not change in the last digit for {time}, through a start or stop or through hours of operation.',
            { time: duration(fault.measure) },
          ),
          effect,
        ],
        certainty: 'certain',
        urgency: suction ? 'this-week' : 'next-visit',
        score: suction ? 60 : 30,
      };
    case 'value-jumping':
      return {
        ...common,
        headline: statement(`The ${words} jumps by {size} and back.`, { size: size(sensor, fault.value) }),
        reasons: [
          statement('{count} single samples differ from both neighbours while these agree.', {
            count: quantity('count', fault.measure),
          }),
          effect,
        ],
        certainty: 'likely',
        urgency: isOften(fault) ? 'next-visit' : 'watch',
        score: 25,
      };
    case 'value-clipped':
      return {
        ...common,
        headline: statement(`The ${words} is clipped at {value}.`, { value: level(sensor, fault.value) }),
        reasons: [
          statement('{share} of all samples are exactly at that value, for minutes at a time.', {
            share: quantity('share', fault.measure),
          }),
          effect,
        ],
        certainty: 'likely',
        urgency: suction && fault.measure >= deadFraction ? 'this-week' : 'next-visit',
        score: 30,
      };
    case 'value-noisy':
      return {
        ...common,
        headline: statement(`The ${words} is noisy: it scatters by {scatter}, more than its class allows.`, {
          scatter: size(sensor, fault.value),
        }),
        reasons: [
          statement(
            'With the circuit off, when nothing in it changes, it scatters {times} times as much as its class allows.',
            { times: quantity('ratio', fault.measure) },
          ),
          effect,
        ],
        error: { bias: 0, uncertainty: 0, noise: fault.value },
        certainty: 'likely',
        urgency: 'next-visit',
        score: 20,
      };
  }
}

/**
 * @param cools whether the water shows that the unit cools, or the registry that it cannot do otherwise: a unit that heats
 *   reads the same where its transducers sit at the exchangers
 */
export function swappedDraft(
  fraction: number,
  series: CircuitSeries,
  running: readonly number[],
  cools = true,
): SensorDraft {
  return {
    condition: 'transducers-swapped',
    sensor: 'suction-pressure',
    headline: statement('Suction and discharge pressure transducers are swapped.'),
    reasons: [
      statement('In {share} of the time running, suction pressure reads above discharge pressure.', {
        share: quantity('share', fraction),
      }),
      statement('That is impossible with the compressor running; the two transducers look alike.'),
      statement(
        'A controller with the same mix-up reads superheat far under zero and closes the valve: the evaporator is starved.',
      ),
    ],
    ...(cools
      ? { certainty: 'certain', urgency: 'today', score: 80 }
      : { certainty: 'possible', urgency: 'watch', score: 30, explanations: swappedOrHeats }),
    visit: [
      statement(
        'Swap the plugs of the two transducers, or their inputs at the controller, and compare again.',
      ),
    ],
    firstSeen_s: series.time_s[running[0]],
    lastSeen_s: series.time_s[running[running.length - 1]],
  };
}

/** Weights are judgement, no source. */
const swappedOrHeats: Explanation[] = [
  { cause: 'swapped transducers', weight: 0.5, supports: [], contradicts: [] },
  {
    cause:
      'a unit that heats, with its transducers at the exchangers: the water temperatures that would tell are not sent',
    weight: 0.5,
    supports: [],
    contradicts: [],
  },
];

/** A valve opened this far by a reading that is too high floods the evaporator. Judgement, no source. */
const nearlyOpen_pct = 85;

const ambientHardlyMoved = statement(
  'The ambient temperature hardly changed meanwhile: a sensor behind a heat exchanger in the suction line, or at the compressor, would read so too.',
);

export function looseDraft(
  loose: LooseEvidence,
  series: CircuitSeries,
  running: readonly number[],
  standstillSeen: boolean,
): SensorDraft {
  // The reading lies between pipe and ambient, so an ambient above the reading lies above the pipe.
  const opens = loose.expected_K < loose.superheat_K || loose.impliedEfficiency !== null;
  const effect = effectOfLooseSensor(opens);
  const wideOpen = opens && loose.valveOpening_pct >= nearlyOpen_pct;
  // Only a reading that was seen to follow the ambient is told from one that is high for another reason.
  const seen = loose.follows === true || loose.impliedEfficiency !== null;
  return {
    condition: 'sensor-loose',
    sensor: 'suction-temperature',
    headline: statement('The suction temperature sensor follows the ambient: it may have come off its pipe.'),
    reasons: [
      statement('While running, its reading lies {share} of the way from pipe to ambient temperature.', {
        share: quantity('share', loose.ambientFraction),
      }),
      loose.impliedEfficiency === null
        ? statement(
            wideOpen
              ? 'Superheat reads {superheat} at a setpoint of {setpoint}, with the valve at {opening}.'
              : 'Superheat reads {superheat} at a setpoint of {setpoint}, although the valve at {opening} is not at a limit.',
            {
              superheat: kelvins(loose.superheat_K),
              setpoint: kelvins(loose.expected_K),
              opening: quantity('percent-opening', loose.valveOpening_pct),
            },
          )
        : statement(
            'Superheat reads {superheat} with the valve at {opening}, but the discharge is colder than any compressor could deliver at that superheat.',
            {
              superheat: kelvins(loose.superheat_K),
              opening: quantity('percent-opening', loose.valveOpening_pct),
            },
          ),
      standstillSeen
        ? statement(
            'With the circuit off and the pipe at ambient temperature it reads right, so the error is not constant.',
          )
        : statement('There was no long stop to rule out a constant error.'),
      ...(seen ? [] : [ambientHardlyMoved]),
      effect,
    ],
    waiting: effect,
    separatingCheck: statement(
      'Watch a start: a sensor on its pipe falls with the saturation temperature within two minutes.',
    ),
    certainty: standstillSeen && seen ? 'likely' : 'possible',
    // Flooded, the compressor takes in liquid all the while.
    urgency: !seen ? 'watch' : wideOpen || loose.impliedEfficiency !== null ? 'today' : 'this-week',
    score: wideOpen || loose.impliedEfficiency !== null ? 85 : 55,
    visit: [
      statement('Bring clamp, contact paste and pipe insulation; clean the pipe and refit the sensor.'),
    ],
    firstSeen_s: series.time_s[running[0]],
    lastSeen_s: series.time_s[running[running.length - 1]],
  };
}
