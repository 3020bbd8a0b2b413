import type { CircuitPhysics } from './design.js';

export type Mode = 'standing' | 'starting' | 'running';

/** All that changes in one circuit. Temperatures of refrigerant are dew temperatures. */
export interface CircuitState {
  mode: Mode;
  inMode_s: number;
  evaporating_K: number;
  condensing_K: number;
  /** Liquid refrigerant in the evaporator. */
  liquid_kg: number;
  /** Water leaving this circuit's part of the evaporator; at standstill also the shell's temperature. */
  leaving_K: number;
  /** Dry-out point's random displacement, share of length. */
  dryout: number;
  /** What each temperature sensor has followed to. */
  suctionSensor_K: number;
  dischargeSensor_K: number;
  liquidSensor_K: number;
  /** True gas temperature at the evaporator outlet. */
  outlet_K: number;
  liquid_K: number;
  integral_pct: number;
  seenSuperheat_K: number;
  /** Position of the valve by the steps that the controller counted, and of the stem. */
  motor_pct: number;
  stem_pct: number;
  load: number;
  random: number;
  /** Share of the full coolant that fans or water valve let through; what the coolant carries per kelvin; where it leaves. */
  coolantControl: number;
  coolant_W_K: number;
  coolantLeaving_K: number;
  /** Valve flow of the last 32 s, a ring, and its next place. */
  inTransit_kg_s: Float64Array;
  transitPlace: number;
  /** The valve is shut before a stop and the compressor empties the evaporator; afterwards it holds no liquid. */
  pumpingDown_s: number;
  emptied: boolean;
  /** Works the other way round from cooling. */
  reversed: boolean;
  /** Means over the last advance. */
  valveFlow_kg_s: number;
  compressorFlow_kg_s: number;
  liquidCarry_kg_s: number;
  heat_W: number;
  /** What the compression adds to the refrigerant. */
  power_W: number;
  /** True superheat at the outlet, K. */
  superheat_K: number;
}

/** What the surroundings give a circuit during one advance. */
export interface CircuitSurroundings {
  entering_K: number;
  waterFlow_m3_s: number;
  coolant_K: number;
  ambient_K: number;
  loadTarget: number;
  /** The other circuit's evaporating temperature and suction thermometer, for sensors wired to the wrong input. */
  otherEvaporating_K: number;
  otherSuctionSensor_K: number;
  setpoint_K: number;
}

/** A circuit that has stood for hours: everything at the temperature around it, the valve shut. */
export function newCircuit(physics: CircuitPhysics, seed: number, around_K: number): CircuitState {
  return {
    mode: 'standing',
    inMode_s: 36_000,
    evaporating_K: around_K,
    condensing_K: around_K,
    liquid_kg: 0.3 * physics.fullLiquid_kg,
    leaving_K: around_K,
    dryout: 0,
    suctionSensor_K: around_K,
    dischargeSensor_K: around_K,
    liquidSensor_K: around_K,
    outlet_K: around_K,
    liquid_K: around_K,
    integral_pct: 40,
    seenSuperheat_K: 0,
    motor_pct: 0,
    stem_pct: 0,
    load: 0,
    random: seed | 0 || 1,
    coolantControl: 0,
    coolant_W_K: 0,
    coolantLeaving_K: around_K,
    inTransit_kg_s: new Float64Array(32),
    transitPlace: 0,
    pumpingDown_s: 0,
    emptied: false,
    reversed: false,
    valveFlow_kg_s: 0,
    compressorFlow_kg_s: 0,
    liquidCarry_kg_s: 0,
    heat_W: 0,
    power_W: 0,
    superheat_K: 0,
  };
}
