import type { CircuitEffects } from '../../../faults/effects.js';
import type { CircuitState, CircuitSurroundings } from '../circuit-state.js';
import type { CircuitPhysics } from '../design.js';
import { nextState, normalOf } from '../../random.js';
import { dewTemperature } from '../../refrigerant-tables.js';
import { stemAfter } from '../valve.js';

const startingTime_s = 45;
/** Below this, the controller closes faster than its proportional gain alone would. */
const lowSuperheat_K = 2.5;

/** A flooded evaporator's valve holds its level; the level's error counts as so many kelvin for the same controller. */
const levelGain_K = 12;

/** Settings of the superheat controller and its motor over one advance. */
export interface ControlSettings {
  setpoint_K: number;
  proportional_pct_K: number;
  integralStep: number;
  least_pct: number;
  greatest_pct: number;
  moveBand_pct: number;
  rate_pct: number;
  step_pct: number;
  sensorLag: number;
  /** What the controller's inputs show of the other circuit; NaN: they are wired to their own. */
  otherEvaporating_K: number;
  otherSuctionSensor_K: number;
}

export function controlSettings(
  { design }: CircuitPhysics,
  around: CircuitSurroundings,
  effects: CircuitEffects,
): ControlSettings {
  const proportional_pct_K = design.proportional_pct_K * effects.gain;
  return {
    setpoint_K: effects.setpoint_K > 0 ? effects.setpoint_K : around.setpoint_K,
    proportional_pct_K,
    integralStep: proportional_pct_K / (design.integralTime_s * effects.integralTime),
    least_pct: design.leastOpening_pct,
    greatest_pct: Math.min(design.greatestOpening_pct, effects.greatestOpening_pct),
    moveBand_pct: design.moveBand_pct,
    rate_pct: (100 * design.rate_steps_s) / design.fullStroke_steps,
    step_pct: 100 / design.fullStroke_steps,
    sensorLag: 1 / design.sensorLag_s,
    otherEvaporating_K: effects.ofOther.includes('suction-pressure') ? around.otherEvaporating_K : NaN,
    otherSuctionSensor_K: effects.ofOther.includes('suction-temperature') ? around.otherSuctionSensor_K : NaN,
  };
}

/** One second of what the controller's own sensors follow and what superheat it sees, errors of the sensors included. */
export function senseSuperheat(
  physics: CircuitPhysics,
  state: CircuitState,
  effects: CircuitEffects,
  settings: ControlSettings,
  ambient_K: number,
  pressureSlope: number,
): void {
  const te = state.evaporating_K;
  if (physics.design.evaporator === 'flooded') {
    state.suctionSensor_K += settings.sensorLag * (te + state.superheat_K - state.suctionSensor_K);
    state.seenSuperheat_K =
      settings.setpoint_K +
      levelGain_K * (physics.design.wettedFraction - state.liquid_kg / physics.fullLiquid_kg);
    return;
  }
  state.suctionSensor_K += settings.sensorLag * (te + state.superheat_K - state.suctionSensor_K);
  state.random = nextState(state.random);
  const { suctionPressure, suctionTemperature } = effects;
  const pressureError = suctionPressure.bias + suctionPressure.noise * normalOf(state.random, 8);
  const temperatureError =
    suctionTemperature.bias +
    suctionTemperature.noise * normalOf(state.random, 3) +
    suctionTemperature.loose * (ambient_K - state.suctionSensor_K);
  const felt =
    effects.controlTemperature_K > 0
      ? effects.controlTemperature_K
      : orElse(settings.otherSuctionSensor_K, state.suctionSensor_K) + temperatureError;
  const measured =
    effects.controlPressure_Pa > 0
      ? felt - dewTemperature(physics.tables, effects.controlPressure_Pa)
      : felt - orElse(settings.otherEvaporating_K, te) - pressureError / pressureSlope;
  state.seenSuperheat_K += 0.4 * (measured - state.seenSuperheat_K);
}

/** One second of the PI controller: it waits through a start, then moves the motor where it wants more than its band. */
export function controlSuperheat(state: CircuitState, settings: ControlSettings): void {
  state.inMode_s++;
  if (state.mode === 'starting' && state.pumpingDown_s === 0) {
    if (state.inMode_s >= startingTime_s) {
      state.mode = 'running';
      state.inMode_s = 0;
    }
    return;
  }
  if (state.pumpingDown_s > 0) return moveToward(state, 0, settings);
  const { least_pct, greatest_pct, integralStep } = settings;
  const seen = state.seenSuperheat_K;
  const error = seen - settings.setpoint_K;
  let integral = state.integral_pct + integralStep * error;
  if (seen < lowSuperheat_K) integral -= 0.25 * integralStep * (lowSuperheat_K - seen) * 4;
  state.integral_pct = integral = within(integral, least_pct, greatest_pct);
  moveToward(
    state,
    within(integral + settings.proportional_pct_K * error, least_pct, greatest_pct),
    settings,
  );
}

/** Moves the motor toward an opening, in whole steps and no faster than its rate. */
function moveToward(state: CircuitState, wanted_pct: number, settings: ControlSettings): void {
  const ahead = wanted_pct - state.motor_pct;
  if (ahead <= settings.moveBand_pct && ahead >= -settings.moveBand_pct) return;
  const { rate_pct, step_pct } = settings;
  const move = ahead > rate_pct ? rate_pct : ahead < -rate_pct ? -rate_pct : ahead;
  state.motor_pct += Math.round(move / step_pct) * step_pct;
}

/** Where the stem comes to stand after the motor's move. */
export function moveStem(state: CircuitState, { friction, lostOpening_pct }: CircuitEffects): void {
  const ideal = friction.stick_pct === 0 && friction.backlash_pct === 0;
  const followed = ideal
    ? state.motor_pct
    : stemAfter(state.stem_pct - lostOpening_pct, state.motor_pct, friction);
  state.stem_pct = Math.max(0, Math.min(100, followed + lostOpening_pct));
}

const orElse = (value: number, otherwise: number): number => (value === value ? value : otherwise);

const within = (value: number, least: number, greatest: number): number =>
  value < least ? least : value > greatest ? greatest : value;
