import { statement, type Statement } from '../../diagnosis/index.js';
import type { Urgency } from '../../diagnosis/finding.js';
import type { SignalFault } from '../signals/signal-health.js';
import type { SensorName } from '../standstill/thermal-consensus.js';
import { kelvins } from './sensor-findings.js';

/** What a wrong reading does to superheat as it is read. */
export type EffectOnSuperheat = 'too-high' | 'too-low' | 'not-affected';

/** Suction temperature read too high, or suction pressure read too low, make superheat read too high. */
export function effectOnSuperheat(sensor: SensorName, high: boolean): EffectOnSuperheat {
  if (sensor === 'suction-temperature') return high ? 'too-high' : 'too-low';
  if (sensor === 'suction-pressure') return high ? 'too-low' : 'too-high';
  return 'not-affected';
}

export interface MachineEffect {
  reasons: Statement[];
  waiting: Statement;
  urgency: Urgency;
}

const flooding = statement(
  'A controller that uses this sensor sees too much superheat and opens the valve: true superheat is lower, and liquid can reach the compressor.',
);
const starving = statement(
  'A controller that uses this sensor sees too little superheat and closes the valve: true superheat is higher, the evaporator is starved and capacity is lost.',
);

/** Sensors on which superheat control does not depend. */
const elsewhere: Record<Exclude<SensorName, 'suction-pressure' | 'suction-temperature'>, [string, string]> = {
  'discharge-pressure': [
    'Superheat control does not use this transducer. Head pressure control that does holds the condensing pressure too low.',
    'Superheat control does not use this transducer. Head pressure control that does holds the condensing pressure too high, which costs compressor energy.',
  ],
  'discharge-temperature': [
    'Superheat control does not use this sensor. A protection against high discharge temperature trips too early.',
    'Superheat control does not use this sensor. A protection against high discharge temperature trips too late.',
  ],
  'liquid-temperature': [
    'Superheat control does not use this sensor; subcooling reads too low.',
    'Superheat control does not use this sensor; subcooling reads too high.',
  ],
};

/** Superheat while running, as read and without the error, K; NaN where not known. */
export interface RunningSuperheat {
  read_K: number;
  true_K: number;
  setpoint_K: number;
  floodbackLimit_K: number;
}

/** A controller that reads the same sensors holds the wrong reading at its setpoint: so close counts as held, K. */
const held_K = 1.5;

/**
 * What a constant error of so many kelvins of superheat does to the machine, and how soon that asks for someone.
 * Limits are judgement, no source.
 */
export function effectOfBias(
  sensor: SensorName,
  high: boolean,
  error_K: number,
  running: RunningSuperheat,
): MachineEffect {
  const reads = effectOnSuperheat(sensor, high);
  if (reads === 'not-affected') {
    const [whenHigh, whenLow] = elsewhere[sensor as keyof typeof elsewhere];
    const sentence = statement(high ? whenHigh : whenLow);
    return { reasons: [sentence], waiting: sentence, urgency: 'next-visit' };
  }
  const sentence = reads === 'too-high' ? flooding : starving;
  const { read_K, true_K, setpoint_K, floodbackLimit_K } = running;
  const known = Number.isFinite(true_K);
  const holds = known && Math.abs(read_K - setpoint_K) <= held_K;
  const reasons = [
    ...(holds
      ? [
          statement(
            'While running, superheat reads {read} at a setpoint of {setpoint}: the controller holds the wrong reading, and true superheat is about {right}.',
            { read: kelvins(read_K), setpoint: kelvins(setpoint_K), right: kelvins(true_K) },
          ),
        ]
      : known
        ? [
            statement('While running, superheat reads {read}; without this error it is about {right}.', {
              read: kelvins(read_K),
              right: kelvins(true_K),
            }),
          ]
        : []),
    sentence,
  ];
  const urgency: Urgency =
    known && reads === 'too-high' && true_K < floodbackLimit_K
      ? 'today'
      : error_K >= (reads === 'too-high' ? 3 : 5)
        ? 'this-week'
        : 'next-visit';
  return { reasons, waiting: sentence, urgency };
}

/** What a suction sensor does whose value stands or is cut off. */
const effectOfDeadSensor: Statement = statement(
  'A controller that uses this sensor no longer sees superheat change: the valve can drift open and pass liquid to the compressor, or shut and starve the evaporator.',
);

/** What a suction sensor does by what its signal betrays. */
export const effectOfSignal: Record<SignalFault['kind'], Statement> = {
  'value-frozen': effectOfDeadSensor,
  'value-clipped': effectOfDeadSensor,
  'value-noisy': statement(
    'A controller that uses this sensor moves the valve with the noise: valve and motor wear, and superheat is held less steadily than it could be; its mean stays right.',
  ),
  'value-jumping': statement(
    'A controller that uses this sensor answers each jump with the valve: it opens or closes for moments without need, and superheat leaves its setpoint.',
  ),
};

/** What a wrong sensor of the high side does to superheat control. */
export const notOfControl: Statement = statement('Superheat control does not use this sensor.');

/** What a suction sensor does that reads part of the ambient. */
export const effectOfLooseSensor = (ambientAbovePipe: boolean): Statement =>
  ambientAbovePipe ? flooding : starving;

/** A wrong setting of the registry only spoils our own figures. */
export const effectOfRegistry: Statement = statement(
  'Only the figures computed here are wrong; the controller has its own setting, which should be compared.',
);
