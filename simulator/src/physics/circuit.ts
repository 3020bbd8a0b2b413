import type { CircuitEffects } from '../faults/effects.js';
import {
  isentropicEfficiency,
  liquidLine,
  volumetricEfficiency,
  waterHeat_J_m3K,
  type CircuitPhysics,
} from './design.js';
import { normalTable } from './random.js';
import { at, dewTemperature, gridPosition, workBetween } from './refrigerant-tables.js';
import { characteristic, chokedDrop, stemAfter } from './valve.js';

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
  /** Where the controller believes the valve to be (steps counted), and where the stem is. */
  motor_pct: number;
  stem_pct: number;
  load: number;
  random: number;
  /** Valve flow of the last 32 s, a ring, and its next place. */
  inTransit_kg_s: Float64Array;
  transitPlace: number;
  /** Means over the last advance. */
  valveFlow_kg_s: number;
  compressorFlow_kg_s: number;
  liquidCarry_kg_s: number;
  heat_W: number;
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
  setpoint_K: number;
}

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
    inTransit_kg_s: new Float64Array(32),
    transitPlace: 0,
    valveFlow_kg_s: 0,
    compressorFlow_kg_s: 0,
    liquidCarry_kg_s: 0,
    heat_W: 0,
    power_W: 0,
    superheat_K: 0,
  };
}

export const startingTime_s = 45;
const loadSlew_per_s = 0.04;
const startingSlew_per_s = 0.012;
/** Below this, the controller closes faster than its proportional gain alone would. */
const lowSuperheat_K = 2.5;

/**
 * Advances a running circuit by whole seconds.
 *
 * Evaporator: liquid inventory M (mass balance of the wetted zone) sets the wetted share z = M / M_full; heat to
 * the wetted zone UA z (T_water - T_e) boils liquid; the vapour balance sets T_e (solved implicitly, one Newton step);
 * the dry zone warms the vapour to SH = (T_in - T_e)(1 - exp(-NTU (1 - z))). The gain of superheat over the dry-out
 * point, -NTU (T_in - T_e - SH), grows as superheat falls. Under the wetting limit s, drops reach the outlet and
 * what arrives is SH (1 - exp(-(SH/s)^2)), while the dry-out point wanders more (MEMORY, Huelle; Wedekind 1971).
 *
 * Mass is conserved to rounding: boiling is what the vapour balance leaves; heat from the water is what boiling,
 * superheating and the change of temperature took.
 */
export function advanceRunning(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
  seconds: number,
): void {
  const { design, tables } = physics;
  const {
    dewPressure_Pa,
    dewPressureSlope,
    vapourDensity_kg_m3,
    vapourDensitySlope,
    latentHeat_J_kg,
    vapourHeatCapacity,
    vapourExpansion,
    liquidEnthalpy_J_kg,
  } = tables;

  // Slow side, once per advance: condenser, liquid line, valve's inlet.
  const coolant_K = around.coolant_K;
  const bubble_K = at(tables.bubbleTemperature_K, state.condensing_K);
  const line = liquidLine(physics, design.charge * effects.charge, state.load, bubble_K, coolant_K);
  const liquid_K = bubble_K - line.subcooling_K;
  state.liquid_K = liquid_K;
  const condensing_Pa = at(dewPressure_Pa, state.condensing_K);
  const liquidDensity = at(tables.liquidDensity_kg_m3, liquid_K);
  const thinning =
    line.vapourShare > 0
      ? 1 /
        Math.sqrt(1 + line.vapourShare * (liquidDensity / at(vapourDensity_kg_m3, state.condensing_K) - 1))
      : 1;
  const choked_Pa = chokedDrop(
    condensing_Pa,
    at(tables.bubblePressure_Pa, liquid_K),
    tables.criticalPressure_Pa,
  );
  const flowFactor =
    (design.kv_m3_h * design.motors * effects.kv * thinning * Math.sqrt((1000 * liquidDensity) / 1e5)) / 3600;
  const inletEnthalpy =
    at(liquidEnthalpy_J_kg, liquid_K) + line.vapourShare * at(latentHeat_J_kg, state.condensing_K);
  const evaporatingStart_K = state.evaporating_K;
  const ratio = condensing_Pa / at(dewPressure_Pa, evaporatingStart_K);
  const sweep = physics.displacement_m3_s * volumetricEfficiency(ratio);
  const latentStart = at(latentHeat_J_kg, evaporatingStart_K);
  const vapourStart = at(tables.vapourEnthalpy_J_kg, evaporatingStart_K);
  const quality = Math.max(0, 1 - (vapourStart - inletEnthalpy) / latentStart);
  const liquidHeatCapacity =
    2 *
    (at(liquidEnthalpy_J_kg, evaporatingStart_K + 0.25) - at(liquidEnthalpy_J_kg, evaporatingStart_K - 0.25));
  const relativeFlow = Math.max(0.15, state.compressorFlow_kg_s / physics.nominalFlow_kg_s);
  const ntu = physics.dryZoneNtu * Math.pow(relativeFlow, -0.2);
  const heatTransfer =
    physics.evaporatorUa_W_K * effects.evaporatorUa * (0.55 + 0.45 * Math.min(1.2, relativeFlow));
  const wetting_K = design.wettingBase_K + design.wettingByLoad_K * state.load;
  const inverseWetting = 1 / wetting_K;
  const waterCapacity = around.waterFlow_m3_s * waterHeat_J_m3K;
  const entering_K = around.entering_K;
  const proportional = design.proportional_pct_K * effects.gain;
  const integralStep = proportional / (design.integralTime_s * effects.integralTime);
  const setpoint_K = effects.setpoint_K > 0 ? effects.setpoint_K : around.setpoint_K;
  const rate_pct = (100 * design.rate_steps_s) / design.fullStroke_steps;
  const step_pct = 100 / design.fullStroke_steps;
  const friction = effects.friction;
  const ideal = friction.stick_pct === 0 && friction.backlash_pct === 0;
  const dryoutKeep = 1 - 1 / design.dryoutMemory_s;
  const dryoutKick = design.dryoutSpread * Math.sqrt(2 / design.dryoutMemory_s);
  const lag = 1 / design.sensorLag_s;
  const greatest = Math.min(design.greatestOpening_pct, effects.greatestOpening_pct);

  let te = evaporatingStart_K;
  let liquid = state.liquid_kg;
  let leaving = state.leaving_K;
  let dryout = state.dryout;
  let sensor = state.suctionSensor_K;
  let integral = state.integral_pct;
  let seen = state.seenSuperheat_K;
  let motor = state.motor_pct;
  let stem = state.stem_pct;
  let load = state.load;
  let random = state.random;
  let superheat = state.superheat_K;
  let inMode_s = state.inMode_s;
  let starting = state.mode === 'starting';
  const transit = state.inTransit_kg_s;
  let place = state.transitPlace;
  const transport = Math.max(0, Math.min(31, Math.round(design.transport_s)));
  let sumValve = 0;
  let sumCompressor = 0;
  let sumCarry = 0;
  let sumHeat = 0;

  for (let second = 0; second < seconds; second++) {
    // Compressor load slides to its target; the controller knows it and moves ahead (feed-forward).
    const target = starting ? Math.min(around.loadTarget, 0.5) : around.loadTarget;
    if (load !== target) {
      const before = load;
      const slew = starting ? startingSlew_per_s : loadSlew_per_s;
      load += Math.max(-slew, Math.min(slew, target - load));
      if (!starting && before > 0.1) integral *= 1 + 0.7 * (load / before - 1);
    }

    const position = gridPosition(te);
    const i = position | 0;
    const f = position - i;
    const pe = dewPressure_Pa[i] + f * (dewPressure_Pa[i + 1] - dewPressure_Pa[i]);
    const density = vapourDensity_kg_m3[i] + f * (vapourDensity_kg_m3[i + 1] - vapourDensity_kg_m3[i]);
    const latent = latentHeat_J_kg[i] + f * (latentHeat_J_kg[i + 1] - latentHeat_J_kg[i]);
    const cp = vapourHeatCapacity[i];

    // Valve.
    let drop = 0.95 * (condensing_Pa - pe);
    if (drop > choked_Pa) drop = choked_Pa;
    const opening = stem * 0.01;
    const valveFlow = drop > 0 && opening > 0 ? flowFactor * characteristic(opening) * Math.sqrt(drop) : 0;

    // Vapour made in the valve is felt at once; liquid arrives after its way through the tubes.
    transit[place] = valveFlow;
    const arriving = transit[(place - transport) & 31];
    place = (place + 1) & 31;

    // Wetted zone and compressor.
    const z = liquid / physics.fullLiquid_kg;
    const wetted = z < 1 ? z : 1;
    const boil_W = heatTransfer * wetted * (0.5 * (entering_K + leaving) - te);
    const vapourFlow = (sweep * load * density) / (1 + vapourExpansion[i] * superheat);
    const carry = z > 0.97 ? (z - 0.97) * 6 * physics.nominalFlow_kg_s * load : 0;
    const storage = physics.vapourVolume_m3 * vapourDensitySlope[i];
    const heldHeat = liquid * liquidHeatCapacity + physics.wall_J_K;
    const surplus = valveFlow * quality + boil_W / latent - vapourFlow;
    const slope = -(heatTransfer * wetted) / latent - vapourFlow * 0.033;
    const change = surplus / (storage + heldHeat / latent - slope);
    te += change;
    const drawn = vapourFlow * (1 + 0.033 * change);
    const boiled = storage * change + drawn - valveFlow * quality;
    liquid += arriving * (1 - quality) - boiled - carry;
    if (liquid < 0) liquid = 0;

    // Dry zone and what reaches the outlet.
    random ^= random << 13;
    random ^= random >>> 17;
    random ^= random << 5;
    const scaled = superheat * inverseWetting;
    const wet = scaled > 3 ? 0 : Math.exp(-scaled * scaled);
    dryout = dryout * dryoutKeep + dryoutKick * (1 + 5 * wet) * normalTable[(random >>> 8) & 65535];
    const dry = 1 - z - dryout;
    const approach = entering_K - te;
    const full = dry > 0 && approach > 0 ? approach * (1 - Math.exp(-ntu * dry)) : 0;
    const ratioToWetting = full * inverseWetting;
    superheat = ratioToWetting > 3 ? full : full * (1 - Math.exp(-ratioToWetting * ratioToWetting));
    const heat_W = boiled * latent + heldHeat * change + drawn * cp * superheat;
    leaving += (waterCapacity * (entering_K - leaving) - heat_W) / physics.water_J_K;

    // Sensors, then the controller's superheat.
    sensor += lag * (te + superheat - sensor);
    random ^= random << 13;
    random ^= random >>> 17;
    random ^= random << 5;
    const pressureError =
      effects.suctionPressure.bias + effects.suctionPressure.noise * normalTable[(random >>> 8) & 65535];
    const temperatureError =
      effects.suctionTemperature.bias +
      effects.suctionTemperature.noise * normalTable[(random >>> 3) & 65535] +
      effects.suctionTemperature.loose * (around.ambient_K - sensor);
    const felt = effects.controlTemperature_K > 0 ? effects.controlTemperature_K : sensor + temperatureError;
    const measured =
      effects.controlPressure_Pa > 0
        ? felt - dewTemperature(tables, effects.controlPressure_Pa)
        : felt - te - pressureError / dewPressureSlope[i];
    seen += 0.4 * (measured - seen);

    // Controller and motor.
    if (starting) {
      inMode_s++;
      if (inMode_s >= startingTime_s) {
        starting = false;
        inMode_s = 0;
      }
    } else {
      const error = seen - setpoint_K;
      integral += integralStep * error;
      if (seen < lowSuperheat_K) integral -= 0.25 * integralStep * (lowSuperheat_K - seen) * 4;
      if (integral < design.leastOpening_pct) integral = design.leastOpening_pct;
      else if (integral > greatest) integral = greatest;
      let wanted = integral + proportional * error;
      if (wanted < design.leastOpening_pct) wanted = design.leastOpening_pct;
      else if (wanted > greatest) wanted = greatest;
      const ahead = wanted - motor;
      if (ahead > design.moveBand_pct || ahead < -design.moveBand_pct) {
        const move = ahead > rate_pct ? rate_pct : ahead < -rate_pct ? -rate_pct : ahead;
        motor += Math.round(move / step_pct) * step_pct;
      }
      inMode_s++;
    }
    stem = ideal ? motor : stemAfter(stem, motor, friction);
    if (effects.lostOpening_pct !== 0) stem = Math.max(0, Math.min(100, stem + effects.lostOpening_pct));

    sumValve += valveFlow;
    sumCompressor += drawn + carry;
    sumCarry += carry;
    sumHeat += heat_W;
  }

  state.mode = starting ? 'starting' : 'running';
  state.inMode_s = inMode_s;
  state.evaporating_K = te;
  state.liquid_kg = liquid;
  state.leaving_K = leaving;
  state.dryout = dryout;
  state.suctionSensor_K = sensor;
  state.integral_pct = integral;
  state.seenSuperheat_K = seen;
  state.motor_pct = motor;
  state.stem_pct = stem;
  state.load = load;
  state.random = random;
  state.transitPlace = place;
  state.superheat_K = superheat;
  state.outlet_K = te + superheat;
  state.valveFlow_kg_s = sumValve / seconds;
  state.compressorFlow_kg_s = sumCompressor / seconds;
  state.liquidCarry_kg_s = sumCarry / seconds;
  state.heat_W = sumHeat / seconds;
  advanceCondenser(physics, state, around, effects, seconds);
}

/** Condenser, liquid line and discharge: a lump with one time constant, implicit, over one advance. */
function advanceCondenser(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
  seconds: number,
): void {
  const { design, tables } = physics;
  const work = workBetween(tables, state.evaporating_K, state.condensing_K) / isentropicEfficiency;
  const flow = state.compressorFlow_kg_s;
  state.power_W = flow * work;
  const rejected_W = state.heat_W + state.power_W;
  const fan = Math.max(0.12, Math.min(1, 0.12 + (state.condensing_K - design.leastCondensing_K) / 5));
  const ua = physics.condenserUa_W_K * effects.condenserUa * fan;
  const before = state.condensing_K;
  state.condensing_K =
    (before + (seconds / physics.condenser_J_K) * (rejected_W + ua * around.coolant_K)) /
    (1 + (seconds / physics.condenser_J_K) * ua);
  const outletEnthalpy =
    at(tables.vapourEnthalpy_J_kg, state.evaporating_K) +
    at(tables.vapourHeatCapacity, state.evaporating_K) * state.superheat_K +
    work;
  const discharge_K =
    state.condensing_K +
    Math.max(0, outletEnthalpy - at(tables.vapourEnthalpy_J_kg, state.condensing_K)) /
      at(tables.vapourHeatCapacity, state.condensing_K);
  state.dischargeSensor_K += (1 - Math.exp(-seconds / 45)) * (discharge_K - state.dischargeSensor_K);
  state.liquidSensor_K += (1 - Math.exp(-seconds / 25)) * (state.liquid_K - state.liquidSensor_K);
}

const shell_s = 2700;
const pipe_s = 900;
const condenserCooling_s = 1500;
const boilUp_s = 180;

/**
 * Advances a standing circuit. Behind a shut valve, each side's pressure follows the temperature of its coldest
 * large body: the evaporator its shell and water, the condenser its surroundings. Through a valve that stayed
 * open, pressures meet within minutes and liquid fills the evaporator.
 */
export function advanceStanding(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  seconds: number,
  pumpRunning: boolean,
  valveDriven: boolean,
): void {
  const { design, tables } = physics;
  const toward = (from: number, to: number, time_s: number) =>
    from + (to - from) * (1 - Math.exp(-seconds / time_s));
  if (valveDriven && state.motor_pct > 0) {
    const rate_pct = (100 * design.rate_steps_s) / design.fullStroke_steps;
    state.motor_pct = Math.max(0, state.motor_pct - rate_pct * seconds);
    state.stem_pct = Math.max(0, Math.min(state.stem_pct, state.motor_pct) + 0);
  }
  state.load = 0;
  state.leaving_K = pumpRunning
    ? toward(state.leaving_K, around.entering_K, 60)
    : toward(state.leaving_K, around.ambient_K, shell_s);
  state.evaporating_K = toward(state.evaporating_K, state.leaving_K, boilUp_s);
  state.condensing_K = toward(state.condensing_K, around.coolant_K, condenserCooling_s);
  const open = Math.max(0, state.stem_pct);
  if (open > 0.5 && state.inMode_s > 10) {
    const meet_s = 4000 / open;
    const share = 1 - Math.exp(-seconds / meet_s);
    const middle = 0.75 * state.evaporating_K + 0.25 * state.condensing_K;
    state.condensing_K += share * (middle - state.condensing_K);
    state.evaporating_K += share * (middle - state.evaporating_K) * 0.5;
    state.liquid_kg += share * (1.35 * physics.fullLiquid_kg - state.liquid_kg);
  } else if (state.liquid_kg <= physics.fullLiquid_kg) {
    state.liquid_kg = toward(state.liquid_kg, 0.3 * physics.fullLiquid_kg, 600);
  }
  // Liquid that drifted in over a valve left open has nowhere to go: it waits for the compressor.
  state.suctionSensor_K = toward(
    state.suctionSensor_K,
    0.6 * around.ambient_K + 0.4 * Math.max(state.evaporating_K, Math.min(around.ambient_K, state.leaving_K)),
    pipe_s,
  );
  state.outlet_K = state.suctionSensor_K;
  state.dischargeSensor_K = toward(state.dischargeSensor_K, around.ambient_K, pipe_s * 1.5);
  state.liquid_K = at(tables.bubbleTemperature_K, state.condensing_K);
  state.liquidSensor_K = toward(state.liquidSensor_K, around.ambient_K, pipe_s);
  state.superheat_K = Math.max(0, state.suctionSensor_K - state.evaporating_K);
  state.seenSuperheat_K = state.superheat_K;
  state.valveFlow_kg_s = 0;
  state.compressorFlow_kg_s = 0;
  state.liquidCarry_kg_s = 0;
  state.heat_W = 0;
  state.power_W = 0;
  state.dryout = 0;
  state.inMode_s += seconds;
}

/** Puts a standing circuit on: the valve takes its starting opening and the compressor its least load. */
export function startCircuit(physics: CircuitPhysics, state: CircuitState, opening_pct: number): void {
  state.mode = 'starting';
  state.inMode_s = 0;
  state.integral_pct = opening_pct;
  state.motor_pct = opening_pct;
  state.stem_pct = opening_pct;
  state.load = 0.1;
  // The valve opens a moment before the compressor starts: liquid is on its way already.
  state.inTransit_kg_s.fill(0.35 * physics.nominalFlow_kg_s);
}

export function stopCircuit(state: CircuitState): void {
  state.mode = 'standing';
  state.inMode_s = 0;
}
