import type { SensorName } from './fault.js';
import { noFriction, type Friction } from '../physics/circuit/valve.js';

/** What is wrong with one sensor at this moment, in the unit of its value. */
export interface SensorEffects {
  bias: number;
  noise: number;
  /** Share with which the sensor follows the surroundings instead of the pipe. */
  loose: number;
  /** Chance per sample of 10 s to show a jump, and its size. */
  jumpChance: number;
  jumpSize: number;
  frozen: boolean;
}

/** All that the faults change in one circuit at this moment; factors are 1 and offsets 0 when healthy. */
export interface CircuitEffects {
  gain: number;
  integralTime: number;
  /** (Kv of the open valve over that of a restriction before it) squared; 0 without one. */
  restriction: number;
  friction: Friction;
  /** Where the stem stands against where the steps say, %. */
  lostOpening_pct: number;
  greatestOpening_pct: number;
  /** Overrides the controller's setpoint when above zero. */
  setpoint_K: number;
  charge: number;
  /** Share of gas that does not condense in the condenser's vapour, at the design's pressure. */
  gas: number;
  condenserUa: number;
  condenserFlow: number;
  evaporatorUa: number;
  evaporatorFlow: number;
  /** Share of the drawn volume that the compressor delivers. */
  delivered: number;
  /** Share of the full flow that passes the shut valve. */
  leakBy: number;
  /** How much lower the second of two valves stands, %. */
  secondLag_pct: number;
  suctionPressure: SensorEffects;
  suctionTemperature: SensorEffects;
  dischargePressure: SensorEffects;
  dischargeTemperature: SensorEffects;
  liquidTemperature: SensorEffects;
  /** The controller works with this suction pressure instead of its own when above zero (frozen transducer). */
  controlPressure_Pa: number;
  /** Likewise for a frozen suction temperature. */
  controlTemperature_K: number;
  swapped: boolean;
  /** Sensors whose input shows the other circuit's. */
  ofOther: readonly SensorName[];
}

export const healthySensor = (noise: number): SensorEffects => ({
  bias: 0,
  noise,
  loose: 0,
  jumpChance: 0,
  jumpSize: 0,
  frozen: false,
});

export const healthyEffects = (pressureNoise_Pa: number): CircuitEffects => ({
  gain: 1,
  integralTime: 1,
  restriction: 0,
  friction: noFriction,
  lostOpening_pct: 0,
  greatestOpening_pct: 100,
  setpoint_K: 0,
  charge: 1,
  gas: 0,
  condenserUa: 1,
  condenserFlow: 1,
  evaporatorUa: 1,
  evaporatorFlow: 1,
  delivered: 1,
  leakBy: 0,
  secondLag_pct: 0,
  suctionPressure: healthySensor(pressureNoise_Pa),
  suctionTemperature: healthySensor(0.03),
  dischargePressure: healthySensor(pressureNoise_Pa * 1.5),
  dischargeTemperature: healthySensor(0.1),
  liquidTemperature: healthySensor(0.05),
  controlPressure_Pa: 0,
  controlTemperature_K: 0,
  swapped: false,
  ofOther: [],
});
