import type { CircuitEntry, PressureTransducerEntry, SensorEntry } from '@coldrounds/core/telemetry';
import { sensorEffects } from '../../faults/apply.js';
import { isActive, type SensorName } from '../../faults/fault.js';
import { atmosphere_Pa } from './environment.js';
import { createRandom, seedOf, type Random } from '../random.js';
import { highSide_Pa } from '../circuit/high-side.js';
import { at } from '../refrigerant-tables.js';
import type { UnitModel } from './unit-model.js';
import type { UnitState } from './unit-state.js';

/**
 * One circuit's values as its gateway reads them: pressures in the transducer's own reference, temperatures in K,
 * with noise, quantisation, the ends of the sensor's span and the sensor's faults in them.
 */
export interface Reading {
  suctionPressure_Pa: number;
  suctionTemperature_K: number;
  valveOpening_pct: number;
  dischargePressure_Pa: number;
  dischargeTemperature_K: number;
  liquidTemperature_K: number;
  superheatSetpoint_K: number;
  compressorLoad_pct: number;
  compressorPower_W: number;
}

export interface WaterReading {
  enteringTemperature_K: number;
  leavingTemperature_K: number;
  flow_m3_s: number;
  ambientTemperature_K: number;
  /** The condenser's side: air-cooled units have no flow and no leaving air, water-cooled ones no fans (NaN). */
  condenserEnteringTemperature_K: number;
  condenserLeavingTemperature_K: number;
  condenserFlow_m3_s: number;
  condenserFanSpeed_pct: number;
}

const temperatureStep_K = 0.05;
/** Motor and drive, and what a running compressor's controls and oil heater take of its full power. Common practice, no source. */
const motorEfficiency = 0.93;
const ownFraction = 0.01;

/** A frozen suction sensor shows what it showed at full load. */
export const frozenTemperature_K = (evaporating_K: number): number => evaporating_K + 6.4;

/** Standard deviation of a sound transducer's reading, Pa: so much of its span. */
export const pressureNoise_Pa = (entry: CircuitEntry): number =>
  0.00025 * (entry.suctionPressure.maximum - entry.suctionPressure.minimum);

/** Reads all sensors of one circuit into `reading`. Random parts are drawn from a generator seeded by circuit and time. */
export function readCircuit(model: UnitModel, state: UnitState, index: number, reading: Reading): Reading {
  const entry = model.entry.circuits[index];
  const effects = state.effects[index];
  const { tables, design } = model.circuits[index];
  // Where a sensor is wired to the other circuit's input, that one's value arrives here.
  const wired = (name: SensorName): number =>
    effects.ofOther.includes(name) ? (index + 1) % state.circuits.length : index;
  const random = createRandom(seedOf(model.seed, index) ^ Math.imul(state.time_s / 10, 0x9e3779b1));
  random.uniform();
  random.uniform();
  const air_Pa = atmosphere_Pa(model.site.altitude_m);
  const noise_Pa = pressureNoise_Pa(entry);

  const [suction_Pa] = portPressures(model, state, wired('suction-pressure'));
  const [, discharge_Pa] = portPressures(model, state, wired('discharge-pressure'));
  const frozenSuction_Pa = at(tables.dewPressure_Pa, design.evaporating_K);
  const frozenDischarge_Pa = at(tables.dewPressure_Pa, design.condensing_K);

  const pressure = (
    name: SensorName,
    true_Pa: number,
    transducer: PressureTransducerEntry,
    frozen_Pa: number,
  ): number => {
    const effect = sensorEffects(effects, name);
    if (effect.frozen) true_Pa = frozen_Pa;
    let shown = true_Pa + effect.bias;
    if (!effect.frozen) shown += Math.max(noise_Pa, effect.noise) * random.normal();
    if (transducer.reference === 'gauge' || sendsGauge(model, entry.number, name, state.time_s))
      shown -= air_Pa;
    shown += jump(effect.jumpChance, effect.jumpSize, random);
    const resolution = (transducer.maximum - transducer.minimum) / 4096;
    shown = Math.round(shown / resolution) * resolution;
    return inSpan(shown, transducer, clipAt(model, entry.number, name, state.time_s));
  };
  const temperature = (name: SensorName, true_K: number, sensor: SensorEntry, frozen_K: number): number => {
    const effect = sensorEffects(effects, name);
    if (effect.frozen) return inSpan(frozen_K, sensor, Infinity);
    let shown =
      true_K + effect.loose * (state.ambient_K - true_K) + effect.bias + effect.noise * random.normal();
    shown += jump(effect.jumpChance, effect.jumpSize, random);
    shown = Math.round(shown / temperatureStep_K) * temperatureStep_K;
    return inSpan(shown, sensor, clipAt(model, entry.number, name, state.time_s));
  };

  reading.suctionPressure_Pa = pressure(
    'suction-pressure',
    suction_Pa,
    entry.suctionPressure,
    frozenSuction_Pa,
  );
  reading.dischargePressure_Pa = pressure(
    'discharge-pressure',
    discharge_Pa,
    entry.dischargePressure,
    frozenDischarge_Pa,
  );
  reading.suctionTemperature_K = temperature(
    'suction-temperature',
    state.circuits[wired('suction-temperature')].suctionSensor_K,
    entry.suctionTemperature,
    frozenTemperature_K(design.evaporating_K),
  );
  reading.dischargeTemperature_K = temperature(
    'discharge-temperature',
    state.circuits[wired('discharge-temperature')].dischargeSensor_K,
    entry.dischargeTemperature,
    331.15,
  );
  reading.liquidTemperature_K = temperature(
    'liquid-temperature',
    state.circuits[wired('liquid-temperature')].liquidSensor_K,
    entry.liquidTemperature,
    303.15,
  );
  readController(model, state, index, reading, random);
  return reading;
}

/** What the circuit's controller and drive tell of themselves. */
function readController(
  model: UnitModel,
  state: UnitState,
  index: number,
  reading: Reading,
  random: Random,
): void {
  const circuit = state.circuits[index];
  const { design, power_W } = model.circuits[index];
  const { setpoint_K } = state.effects[index];
  const opening = Math.max(0, Math.min(100, circuit.motor_pct));
  reading.valveOpening_pct = Math.round(opening * 20) / 20;
  reading.superheatSetpoint_K =
    design.evaporator === 'flooded' ? NaN : setpoint_K > 0 ? setpoint_K : state.setpoint_K[index];
  reading.compressorLoad_pct = Math.round(circuit.load * 1000) / 10;
  const taken_W = circuit.power_W / motorEfficiency + ownFraction * power_W;
  reading.compressorPower_W =
    circuit.mode === 'standing' ? 0 : Math.round((taken_W * (1 + 0.004 * random.normal())) / 10) * 10;
}

/** True pressures at the ports of suction and discharge transducer, Pa: the other way round where reversed running or wiring swaps them. */
function portPressures(model: UnitModel, state: UnitState, index: number): [number, number] {
  const circuit = state.circuits[index];
  const { tables } = model.circuits[index];
  let suction_Pa = at(tables.dewPressure_Pa, circuit.evaporating_K);
  let discharge_Pa = highSide_Pa(model.circuits[index], circuit.condensing_K, state.effects[index]);
  const ports = model.habits?.reversed?.sensors ?? 'pressure-at-compressor';
  if (circuit.reversed && ports !== 'pressure-at-compressor')
    [suction_Pa, discharge_Pa] = [discharge_Pa, suction_Pa];
  if (state.effects[index].swapped) [suction_Pa, discharge_Pa] = [discharge_Pa, suction_Pa];
  return [suction_Pa, discharge_Pa];
}

const jump = (chance: number, size: number, random: Random): number =>
  chance > 0 && random.uniform() < chance ? (random.uniform() < 0.5 ? -size : size) : 0;

function sendsGauge(model: UnitModel, circuit: number, name: SensorName, time_s: number): boolean {
  return model.faults.some(
    (fault) =>
      fault.kind === 'gauge-taken-for-absolute' &&
      (fault.circuit === undefined || fault.circuit === circuit) &&
      (fault.sensor === 'both' || fault.sensor === name) &&
      isActive(fault, time_s, model.now_s),
  );
}

function clipAt(model: UnitModel, circuit: number, name: SensorName, time_s: number): number {
  for (const fault of model.faults) {
    if (
      fault.kind === 'value-clipped' &&
      fault.sensor === name &&
      (fault.circuit === undefined || fault.circuit === circuit) &&
      isActive(fault, time_s, model.now_s)
    )
      return fault.maximum;
  }
  return Infinity;
}

const inSpan = (value: number, sensor: SensorEntry, clip: number): number =>
  Math.max(sensor.minimum, Math.min(sensor.maximum, clip, value));

/** Reads the unit's water, its condenser's side and its surroundings. */
export function readWater(model: UnitModel, state: UnitState, reading: WaterReading): WaterReading {
  const random = createRandom(seedOf(model.seed, 'water') ^ Math.imul(state.time_s / 10, 0x85ebca6b));
  random.uniform();
  let swing_K = 0;
  for (const fault of model.faults) {
    if (fault.kind === 'load-swing' && isActive(fault, state.time_s, model.now_s)) {
      swing_K += state.around.entering_K - state.entering_K;
    }
  }
  const round = (value: number, step: number) => Math.round(value / step) * step;
  reading.enteringTemperature_K = round(
    state.entering_K + swing_K + 0.03 * random.normal(),
    temperatureStep_K,
  );
  reading.leavingTemperature_K = round(state.leaving_K + 0.03 * random.normal(), temperatureStep_K);
  reading.flow_m3_s =
    state.flow_m3_s <= 0 ? 0 : Math.max(0, round(state.flow_m3_s * (1 + 0.004 * random.normal()), 1e-5));
  reading.ambientTemperature_K = round(state.ambient_K + 0.04 * random.normal(), temperatureStep_K);
  const water = model.entry.condenser === 'water';
  reading.condenserEnteringTemperature_K = round(
    state.coolantEntering_K + 0.03 * random.normal(),
    temperatureStep_K,
  );
  reading.condenserLeavingTemperature_K = water
    ? round(state.coolantLeaving_K + 0.03 * random.normal(), temperatureStep_K)
    : NaN;
  reading.condenserFlow_m3_s = water
    ? Math.max(0, round(state.coolantFlow_m3_s * (1 + 0.004 * random.normal()), 1e-5))
    : NaN;
  reading.condenserFanSpeed_pct = water ? NaN : Math.round(10 * state.fan_pct) / 10;
  return reading;
}
