import type { CircuitDesign } from '../physics/circuit/design.js';
import { healthyEffects, type CircuitEffects, type SensorEffects } from './effects.js';
import { isActive, type Fault, type SensorName } from './fault.js';

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
    if (isActive(fault, time_s, now_s)) applyFault(effects, fault);
  }
  return effects;
}

function applyFault(effects: CircuitEffects, fault: Fault): void {
  switch (fault.kind) {
    case 'loop-tuned-too-hard':
      effects.gain *= fault.gain ?? 3;
      effects.integralTime *= fault.integralTime ?? 0.35;
      break;
    case 'circuits-disturbing':
      effects.gain *= fault.gain ?? 2;
      effects.integralTime *= fault.integralTime ?? 0.6;
      break;
    case 'valve-friction':
      effects.friction = {
        stick_pct: fault.stick_pct ?? 4,
        slip_pct: fault.slip_pct ?? 0.4,
        backlash_pct: 0,
      };
      break;
    case 'lost-steps':
      effects.friction = {
        stick_pct: fault.stick_pct ?? 3,
        slip_pct: 0,
        backlash_pct: fault.backlash_pct ?? 0,
      };
      effects.lostOpening_pct = fault.offset_pct ?? 0;
      break;
    case 'setpoint':
      effects.setpoint_K = fault.setpoint_K;
      break;
    case 'measurement-noise':
      effects.suctionPressure.noise = Math.max(effects.suctionPressure.noise, fault.pressure_Pa ?? 15_000);
      effects.suctionTemperature.noise = Math.max(
        effects.suctionTemperature.noise,
        fault.temperature_K ?? 0.3,
      );
      break;
    case 'undercharge':
      effects.charge *= 1 - fault.share;
      break;
    case 'condenser-fouling':
      effects.condenserUa *= 1 - fault.share;
      break;
    case 'liquid-line-restriction':
      effects.kv *= 1 - fault.share;
      break;
    case 'sensor-bias':
      sensorEffects(effects, fault.sensor).bias += fault.bias;
      break;
    case 'transducers-swapped':
      effects.swapped = true;
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
      sensor.noise = Math.max(sensor.noise, fault.spread);
      break;
    }
    case 'sensor-loose':
      sensorEffects(effects, fault.sensor).loose = fault.share ?? 0.7;
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
