import type { CircuitEffects } from '../faults/effects.js';
import type { CircuitState, CircuitSurroundings } from './circuit-state.js';
import { advanceCondenser } from './condenser.js';
import { volumetricEfficiency, waterHeat_J_m3K, type CircuitPhysics } from './design.js';
import { normalTable } from './random.js';
import { at, dewTemperature, gridPosition } from './refrigerant-tables.js';
import { characteristic, stemAfter } from './valve.js';
import { valveInlet } from './valve-inlet.js';

const startingTime_s = 45;
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

  // Slow side, once per advance.
  const {
    pressure_Pa: condensing_Pa,
    liquid_K,
    choked_Pa,
    flowFactor,
    enthalpy_J_kg: inletEnthalpy,
  } = valveInlet(physics, state, effects, around.coolant_K);
  state.liquid_K = liquid_K;
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
