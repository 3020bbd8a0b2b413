import { approachOf, transferUnitsOf } from '../../../normal/quantities/exchanger.js';
import { fullFans_pct } from '../../../normal/quantities/fans.js';
import { condensing_K as condensingOf } from '../../../normal/quantities/quantities.js';
import type { CausePattern } from './cause-pattern.js';
import type { ChannelMoves } from '../../../normal/quantities/day-to-day.js';
import {
  conductanceLeft,
  condensingUp,
  evaporatingDown,
  fansThatHold_pct,
  foulingByFans,
  logSlope,
  orElse,
  pressureMove,
  type CondenserState,
  type PatternState,
} from './pattern-state.js';
import { priorOf } from './priors.js';

/**
 * Fouling, gas and little water in the condenser. What tells them apart besides subcooling and the flow is how they go
 * with the load: a fouling layer is a resistance, and its temperature difference goes with the heat; gas keeps its own
 * pressure, whatever the load.
 */
export function condenserPatterns(state: PatternState): CausePattern[] {
  const { condenserFanSpeed_pct: fan } = state.at;
  const held = fan < fullFans_pct && state.fans.faster_pct === 0;
  return [
    fouledCondenser(state),
    gas(state),
    ...(held ? [gasUnderHeldPressure(state), fouledUnderHeldPressure(state)] : []),
    littleCondenserFlow(state),
  ];
}

/**
 * How the effect on condensing goes with the load is unsure by this share of it: fans and water valves that follow the
 * pressure give more at the loads at which they still can. Judgement, no source.
 */
const unsureWithLoad = 0.3;

/**
 * One kelvin more of condensing at the reference, with the heat elsewhere. Where the layer lies on the tubes that subcool as
 * well, the liquid comes out nearer to condensing, so that subcooling hardly changes or falls (SC - of the published fault
 * tables); where these stay clean, it follows by half of what they leave. Half way between the two, give or take.
 */
function fouledCondenser(state: PatternState): CausePattern {
  const { condenser } = state;
  const kelvin = state.heat * foulingByFans(state);
  const fouled = condensingUp(state, kelvin);
  const [all, clean] = [liquidOfFouled(condenser, kelvin), (kelvin * (1 + condenser.left)) / 2];
  // Fans that turn faster leave less of it, and the liquid somewhat warmer, as where they hold the pressure.
  const { left } = state.fans;
  const liquid = (left * (all + clean)) / 2 + (1 - left) * liquidUnderHeldPressure * kelvin;
  return {
    cause: 'condenser-fouled',
    moves: { ...fouled.moves, liquidTemperature_K: liquid },
    doubts: { ...fouled.doubts, liquidTemperature_K: Math.abs(all - clean) / 2 + 0.2 * kelvin },
    jointDoubts: [withLoad(state, kelvin, liquid)],
    severity: { median: 0.7, spread: 1.1 },
    eitherWay: false,
    prior: priorOf['condenser-fouled'],
  };
}

/** What stands behind a doubt of how condensing goes with the load: all that follows it. */
const withLoad = (state: PatternState, kelvin: number, liquid: number): ChannelMoves => ({
  ...condensingUp(state, unsureWithLoad * kelvin).moves,
  liquidTemperature_K: unsureWithLoad * liquid,
});

/** Rise of the liquid when fouling raises condensing by `kelvin`, by effectiveness-NTU of the whole and of the liquid's part. */
function liquidOfFouled({ change_K, approach_K, left, room_K }: CondenserState, kelvin: number): number {
  const units = (approach: number) => Math.log((change_K + approach) / approach);
  const lost = units(approach_K + kelvin) / units(approach_K);
  const risen = left ** lost * (room_K + kelvin) - left * room_K;
  return Number.isFinite(risen) ? risen : (kelvin * (1 + left)) / 2;
}

/**
 * What the film of gas on the tubes adds to the true condensing temperature, per kelvin that the gas's pressure reads as,
 * and its standard uncertainty. Judgement, no source.
 */
const gasFilm = 0.4;
const gasFilmDoubt = 0.3;

/**
 * Gas adds the pressure that reads as one kelvin of condensing at the reference, by Dalton's law the same at any load. It
 * gathers where vapour condenses, and vapour must pass through it: this film raises the true condensing temperature too,
 * with the heat, and the liquid with it. Compressor and valve feel both: power and discharge temperature rise, the valve
 * closes. A transducer that reads as much too high changes none of these.
 */
function gas(state: PatternState): CausePattern {
  const { machine, at, reference, condensing_K, heat } = state;
  const usual = condensingOf(machine, reference.dischargePressure_Pa);
  const added_Pa = pressureMove(machine, reference.dischargePressure_Pa, usual, 1);
  const slope = Number.isFinite(condensing_K) ? logSlope(machine, condensing_K) : 0.03;
  const kelvin = added_Pa === 0 ? 1 : orElse(Math.log1p(added_Pa / at.dischargePressure_Pa) / slope, 1);
  const film = gasFilm * heat;
  const up = condensingUp(state, kelvin + film);
  return {
    cause: 'gas-in-circuit',
    moves: { ...up.moves, ...liquidBehind(state, film, kelvin) },
    doubts: { ...up.doubts, liquidTemperature_K: 0.1 * kelvin },
    jointDoubts: [withFilm(state, gasFilmDoubt * heat)],
    severity: { median: 1.2, spread: 1.1 },
    eitherWay: false,
    prior: 0.08,
  };
}

/**
 * The liquid follows most of the true condensing temperature; where fans turn faster for what reads as so much more condensing, that falls
 * by what they take back.
 */
const liquidBehind = ({ fans }: PatternState, film_K: number, own_K = 0): ChannelMoves => ({
  liquidTemperature_K: 0.8 * fans.left * film_K - (1 - fans.left) * own_K,
});

const withFilm = (state: PatternState, film_K: number): ChannelMoves => ({
  ...condensingUp(state, film_K).moves,
  ...liquidBehind(state, film_K),
});

/** Gas mostly shows at a standstill, and is weighed again with it: that it is there and no standstill says so is as seldom as this. Judgement, no source. */
const withoutStandstill = 0.005;

/**
 * Gas where fans hold the pressure of the high side: they turn faster until vapour and gas together are at the pressure that
 * vapour alone was at, and the true condensing temperature lies a kelvin lower. Pressure, power and discharge temperature
 * stay; the liquid comes colder by that, which saves a little flow. What tells it from too much refrigerant, which cools
 * the liquid too, is the standstill, at which gas reads as before.
 */
function gasUnderHeldPressure(state: PatternState): CausePattern {
  const { at } = state;
  const saved = 0.009;
  const less = (value: number) => -saved * value;
  return {
    cause: 'gas-in-circuit',
    form: 'held-pressure',
    moves: {
      liquidTemperature_K: -1,
      condenserFanSpeed_pct: fansThatHold_pct(state),
      compressorPower_W: less(at.compressorPower_W),
      compressorLoad_pct: less(at.compressorLoad_pct),
      valveOpening_pct: less(at.valveOpening_pct),
    },
    doubts: {
      liquidTemperature_K: 0.3,
      compressorPower_W: 0.01 * at.compressorPower_W,
      compressorLoad_pct: 0.01 * at.compressorLoad_pct,
      valveOpening_pct: 0.02 * at.valveOpening_pct,
      dischargeTemperature_K: 0.2,
    },
    severity: { median: 1.2, spread: 1.1 },
    eitherWay: false,
    prior: withoutStandstill,
  };
}

/** How much warmer liquid comes from a fouled condenser whose fans hold the pressure, for each kelvin that condensing would rise by. Judgement, no source. */
const liquidUnderHeldPressure = 0.4;

/**
 * Fouling where fans hold the pressure: they make up for what the tubes lost, and condensing stays. What is left of it is the
 * liquid, whose tubes are fouled as well and see no colder air for more of it: it comes somewhat warmer, as where refrigerant
 * is missing. Only the opening, which bubbles move, tells these two apart.
 */
function fouledUnderHeldPressure(state: PatternState): CausePattern {
  const { at } = state;
  return {
    cause: 'condenser-fouled',
    form: 'held-pressure',
    moves: {
      liquidTemperature_K: liquidUnderHeldPressure,
      valveOpening_pct: 0.004 * at.valveOpening_pct,
      condenserFanSpeed_pct: fansThatHold_pct(state),
    },
    doubts: {
      liquidTemperature_K: 0.3,
      compressorPower_W: 0.01 * at.compressorPower_W,
      valveOpening_pct: 0.01 * at.valveOpening_pct,
      dischargeTemperature_K: 0.2,
    },
    severity: { median: 0.7, spread: 1.1 },
    eitherWay: false,
    prior: 0.06,
  };
}

/** A tenth less flow: the change grows, the transfer units too, as the conductance falls less than the flow. */
function littleCondenserFlow(state: PatternState): CausePattern {
  const { machine, at, condensing_K, condenser } = state;
  const { change_K, transferUnits } = condenser;
  const more = change_K / 0.9 - change_K;
  const rise =
    more +
    approachOf(change_K + more, (transferUnits * conductanceLeft) / 0.9) -
    approachOf(change_K, transferUnits);
  const slow = condensingUp(state, rise);
  return {
    cause: 'condenser-flow-low',
    moves: {
      ...slow.moves,
      condenserFlow_m3_s: -0.1 * at.condenserFlow_m3_s,
      condenserLeavingTemperature_K: more + orElse(slow.moves.condenserLeavingTemperature_K ?? 0, 0),
      liquidTemperature_K: 0.9 * state.fans.left * rise,
    },
    doubts: {
      ...slow.doubts,
      dischargePressure_Pa: pressureMove(machine, at.dischargePressure_Pa, condensing_K, 0.3 * rise),
      condenserLeavingTemperature_K: 0.1 * more,
      liquidTemperature_K: 0.5 * rise,
    },
    jointDoubts: [withLoad(state, rise, 0.9 * state.fans.left * rise)],
    severity: { median: 1.5, spread: 0.8 },
    eitherWay: false,
    prior: priorOf['condenser-flow-low'],
  };
}

/** By this share the flow of a compressor grows for each kelvin of evaporating, with the density of the vapour that it draws (common practice, no source). */
const flowPerKelvin = 0.03;

/** How much the heat that passes may differ from load to load, as a share of it. Judgement, no source. */
const withOtherLoad = 0.6;

/**
 * The circuit's own water comes warmer than the unit's, by a kelvin: heat passes to it from another circuit. Its compressor
 * runs as before and takes that heat at a higher evaporating temperature, so that the evaporator seems better than it was; flow
 * and opening grow, the lift falls, and the power hardly changes. The other circuit seems fouled by it; only both
 * together make it heat that passes between them (`unit/explaining/heat-between-circuits.ts`).
 */
function heatFromOther(state: PatternState): CausePattern[] {
  const { machine, at, condensing_K, condenser } = state;
  if (machine.alone) return [];
  const better = evaporatingDown(state, -1);
  const { compressorLoad_pct: _, ...warmer } = better.moves;
  const { compressorLoad_pct: __, ...doubts } = better.doubts;
  const moves = {
    ...warmer,
    compressorPower_W: orElse(warmer.compressorPower_W!, 0) + flowPerKelvin * at.compressorPower_W,
    valveOpening_pct: flowPerKelvin * at.valveOpening_pct,
  };
  const warmerCondenser = flowPerKelvin * orElse(condenser.approach_K + condenser.change_K, 10);
  return [
    {
      cause: 'circuits-disturb-each-other',
      form: 'heat-from-other',
      moves,
      doubts: {
        ...doubts,
        compressorPower_W: 0.02 * at.compressorPower_W,
        valveOpening_pct: 0.5 * flowPerKelvin * at.valveOpening_pct,
        dischargePressure_Pa: pressureMove(machine, at.dischargePressure_Pa, condensing_K, warmerCondenser),
      },
      // It goes with how the loads of the two differ, of which this circuit knows its own alone.
      jointDoubts: [scaled(moves, withOtherLoad)],
      severity: { median: 0.7, spread: 1 },
      eitherWay: false,
      prior: 0.03,
    },
  ];
}

const scaled = (moves: ChannelMoves, by: number): ChannelMoves =>
  Object.fromEntries(Object.entries(moves).map(([channel, move]) => [channel, by * move]));

/** Fouling, one kelvin at the reference and with the heat elsewhere; a tenth less water; and heat from another circuit. */
export function evaporatorPatterns(state: PatternState): CausePattern[] {
  const { at, evaporating_K, heat } = state;
  const fouled = evaporatingDown(state, heat);
  const change = orElse(at.enteringWaterTemperature_K - at.leavingWaterTemperature_K, 5);
  const approach = orElse(at.leavingWaterTemperature_K - evaporating_K, 3);
  const units = orElse(transferUnitsOf(change, approach), 1.2);
  const more = change / 0.9 - change;
  const fall = approachOf(change + more, (units * conductanceLeft) / 0.9) - approachOf(change, units);
  const slow = evaporatingDown(state, fall);
  return [
    {
      cause: 'evaporator-fouled',
      moves: fouled.moves,
      doubts: fouled.doubts,
      severity: { median: 0.7, spread: 1 },
      eitherWay: false,
      prior: priorOf['evaporator-fouled'],
    },
    {
      cause: 'evaporator-flow-low',
      moves: {
        ...slow.moves,
        waterFlow_m3_s: -0.1 * at.waterFlow_m3_s,
        enteringWaterTemperature_K: more,
      },
      doubts: {
        ...slow.doubts,
        enteringWaterTemperature_K: 0.1 * more,
        suctionTemperature_K: 0.03 * approach,
      },
      // How much of the resistance is the water's: none, and the approach falls by an eighth; most, and it rises as much.
      jointDoubts: [evaporatingDown(state, approach / 8).moves],
      severity: { median: 1.5, spread: 0.8 },
      eitherWay: false,
      prior: priorOf['evaporator-flow-low'],
    },
    ...heatFromOther(state),
  ];
}
