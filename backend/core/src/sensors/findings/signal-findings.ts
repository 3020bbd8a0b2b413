import { quantity, statement, type Quantity } from '../../diagnosis/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { LooseEvidence } from '../running/running-evidence.js';
import { effectOfDeadSensor, effectOfLooseSensor } from './effect-on-machine.js';
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
  const dead = sensor.startsWith('suction') ? [effectOfDeadSensor] : [];
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
            {
              time: duration(fault.measure),
            },
          ),
          ...dead,
        ],
        certainty: 'certain',
        urgency: sensor.startsWith('suction') ? 'this-week' : 'next-visit',
        score: sensor.startsWith('suction') ? 60 : 30,
      };
    case 'value-jumping':
      return {
        ...common,
        headline: statement(`The ${words} jumps by {size} and back.`, { size: size(sensor, fault.value) }),
        reasons: [
          statement('{count} single samples differ from both neighbours while these agree.', {
            count: quantity('count', fault.measure),
          }),
        ],
        certainty: 'likely',
        urgency: 'next-visit',
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
          ...dead,
        ],
        certainty: 'likely',
        urgency: 'next-visit',
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
            {
              times: quantity('ratio', fault.measure),
            },
          ),
        ],
        error: { bias: 0, uncertainty: 0, noise: fault.value },
        certainty: 'likely',
        urgency: 'next-visit',
        score: 20,
      };
  }
}

export function swappedDraft(
  fraction: number,
  series: CircuitSeries,
  running: readonly number[],
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
    certainty: 'certain',
    urgency: 'today',
    score: 80,
    visit: [
      statement(
        'Swap the plugs of the two transducers, or their inputs at the controller, and compare again.',
      ),
    ],
    firstSeen_s: series.time_s[running[0]],
    lastSeen_s: series.time_s[running[running.length - 1]],
  };
}

/** A valve opened this far by a reading that is too high floods the evaporator. Judgement, no source. */
const nearlyOpen_pct = 85;

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
            'Superheat reads {superheat} at a setpoint of {setpoint}, although the valve at {opening} is not at a limit.',
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
      effect,
    ],
    waiting: effect,
    separatingCheck: statement(
      'Watch a start: a sensor on its pipe falls with the saturation temperature within two minutes.',
    ),
    certainty: standstillSeen ? 'likely' : 'possible',
    // Flooded, the compressor takes in liquid all the while.
    urgency: wideOpen || loose.impliedEfficiency !== null ? 'today' : 'this-week',
    score: wideOpen || loose.impliedEfficiency !== null ? 85 : 55,
    visit: [
      statement('Bring clamp, contact paste and pipe insulation; clean the pipe and refit the sensor.'),
    ],
    firstSeen_s: series.time_s[running[0]],
    lastSeen_s: series.time_s[running[running.length - 1]],
  };
}
