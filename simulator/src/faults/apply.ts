import type { CircuitDesign } from '../physics/circuit/design.js';
import { healthyEffects, type CircuitEffects, type SensorEffects } from './effects.js';
import { strengthAt, type Fault, type SensorName } from './fault.js';

const sensorKeys: Record<SensorName, keyof CircuitEffects> = {
  'suction-pressure': 'suctionPressure',
  'suction-temperature': 'suctionTemperature',
  'discharge-pressure': 'dischargePressure',
  'discharge-temperature': 'dischargeTemperature',
  'liquid-temperature': 'liquidTemperature',
};

export const sensorEffects = (effects: CircuitEffects, sensor: SensorName): SensorEffects =>
  effects[sensorKeys[sensor]] as SensorEffects;

/** The effects of all faults that one circuit has at a time. */
export function effectsAt(
  faults: readonly Fault[],
  circuit: number,
  time_s: number,
  now_s: number,
  pressureNoise_Pa: number,
): CircuitEffects {
  const effects = healthyEffects(pressureNoise_Pa);
  for (const fault of faults) {
    if (fault.circuit !== undefined && fault.circuit !== circuit) continue;
    const strength = strengthAt(fault, time_s, now_s);
    if (strength > 0) applyFault(effects, fault, strength);
  }
  return effects;
}

/** Changes effects by a fault of which `strength`, 0 to 1, has come about. */
function applyFault(effects: CircuitEffects, fault: Fault, strength: number): void {
  applyToLoop(effects, fault, strength);
  applyToMachine(effects, fault, strength);
  applyToReadings(effects, fault, strength);
}

function applyToLoop(effects: CircuitEffects, fault: Fault, strength: number): void {
  switch (fault.kind) {
    case 'loop-tuned-too-hard':
      effects.gain *= Math.pow(fault.gain ?? 3, strength);
      effects.integralTime *= Math.pow(fault.integralTime ?? 0.35, strength);
      break;
    case 'circuits-disturbing':
      effects.gain *= Math.pow(fault.gain ?? 2, strength);
      effects.integralTime *= Math.pow(fault.integralTime ?? 0.6, strength);
      break;
    case 'valve-friction':
      effects.friction = {
        stick_pct: strength * (fault.stick_pct ?? 4),
        slip_pct: strength * (fault.slip_pct ?? 0.4),
        backlash_pct: 0,
      };
      break;
    case 'lost-steps':
      effects.friction = {
        stick_pct: fault.stick_pct ?? 3,
        slip_pct: 0,
        backlash_pct: fault.backlash_pct ?? 0,
      };
      effects.lostOpening_pct += strength * (fault.offset_pct ?? 0);
      break;
    case 'valve-offset':
      effects.lostOpening_pct -= strength * fault.offset_pct;
      break;
    case 'tandem-mismatch':
      effects.secondLag_pct += strength * fault.lag_pct;
      break;
    case 'valve-leaks-by':
      effects.leakBy += strength * fault.share;
      break;
    case 'setpoint':
      effects.setpoint_K = fault.setpoint_K;
      break;
    default:
      break;
  }
}

function applyToMachine(effects: CircuitEffects, fault: Fault, strength: number): void {
  switch (fault.kind) {
    case 'undercharge':
      effects.charge *= 1 - strength * fault.share;
      break;
    case 'overcharge':
      effects.charge *= 1 + strength * fault.share;
      break;
    case 'gas-in-circuit':
      effects.gas += strength * fault.share;
      break;
    case 'condenser-fouling':
      effects.condenserUa *= 1 - strength * fault.share;
      break;
    case 'condenser-flow-low':
      effects.condenserFlow *= 1 - strength * fault.share;
      break;
    case 'evaporator-fouling':
      effects.evaporatorUa *= 1 - strength * fault.share;
      break;
    case 'evaporator-flow-low':
      effects.evaporatorFlow *= 1 - strength * fault.share;
      break;
    case 'compressor-leakage':
      effects.delivered *= 1 - strength * fault.share;
      break;
    case 'liquid-line-restriction':
      // In series: the open valve's flow falls by the share, that of a valve little open by much less.
      effects.restriction += Math.pow(1 - strength * fault.share, -2) - 1;
      break;
    default:
      break;
  }
}

function applyToReadings(effects: CircuitEffects, fault: Fault, strength: number): void {
  switch (fault.kind) {
    case 'measurement-noise':
      effects.suctionPressure.noise = Math.max(
        effects.suctionPressure.noise,
        strength * (fault.pressure_Pa ?? 15_000),
      );
      effects.suctionTemperature.noise = Math.max(
        effects.suctionTemperature.noise,
        strength * (fault.temperature_K ?? 0.3),
      );
      break;
    case 'sensor-bias':
      sensorEffects(effects, fault.sensor).bias += strength * fault.bias;
      break;
    case 'transducers-swapped':
      effects.swapped = true;
      break;
    case 'sensors-swapped-between-circuits':
      effects.ofOther = [...effects.ofOther, fault.sensor];
      break;
    case 'value-frozen':
      sensorEffects(effects, fault.sensor).frozen = true;
      break;
    case 'value-jumping': {
      const sensor = sensorEffects(effects, fault.sensor);
      sensor.jumpChance = (fault.perHour ?? 12) / 360;
      sensor.jumpSize = fault.size;
      break;
    }
    case 'value-noisy': {
      const sensor = sensorEffects(effects, fault.sensor);
      sensor.noise = Math.max(sensor.noise, strength * fault.spread);
      break;
    }
    case 'sensor-loose':
      sensorEffects(effects, fault.sensor).loose = strength * (fault.share ?? 0.7);
      break;
    default:
      // Of the unit, of the registry or of the shown value: taken up where those are made.
      break;
  }
}

/** Faults that are built in, not switched on: they change the design itself. */
export function designWithFaults(
  design: CircuitDesign,
  faults: readonly Fault[],
  circuit: number,
): CircuitDesign {
  let changed = design;
  for (const fault of faults) {
    if (fault.circuit !== undefined && fault.circuit !== circuit) continue;
    if (fault.kind === 'valve-too-large' && fault.factor !== undefined)
      changed = { ...changed, kv_m3_h: changed.kv_m3_h * fault.factor };
    if (fault.kind === 'wrong-refrigerant') changed = { ...changed, refrigerant: fault.actual };
  }
  return changed;
}
