import { approachOf } from '../../../normal/quantities/exchanger.js';
import type { CausePattern } from './cause-pattern.js';
import type { ChannelMoves } from '../../../normal/quantities/day-to-day.js';
import {
  condensingUp,
  orElse,
  pressureMove,
  type CondenserState,
  type PatternState,
} from './pattern-state.js';

/** Share of the condenser's surface that one unit of severity covers, or leaves uncovered. */
const coveredFraction = 0.05;
/** Conductance of a tube in standing liquid, as a share of one on which vapour condenses (common practice, no source). */
const liquidConductance = 0.35;
/**
 * Heat that a kilogram gives off in the condenser over the heat capacity of its liquid, K: R134a 190 kJ/kg over 1.45
 * kJ/(kg K), R22 190 over 1.25, R410A 200 over 1.75 (COMPUTED, CoolProp 8.0.0, at 35 °C; within a fifth).
 */
const heatOverCapacity_K = 130;
/** What a kelvin of liquid temperature does to the flow for the same cooling: liquid capacity over heat of evaporation. */
const flowPerKelvin = 0.009;

/**
 * Too much refrigerant, and too little. Where it shows depends on what the valve holds. Where it holds the evaporator
 * (superheat, or its level), the evaporator keeps what it had and the condenser makes up the difference; where it holds
 * the condenser's level, the evaporator does. So each has two patterns in flooded machines, and one where a valve holds
 * superheat.
 *
 * In the condenser, liquid covers a share of the tubes. With `left` the liquid's share of the temperature difference and
 * N transfer units in the standing liquid, left = exp(-N): a share c more of the surface adds
 * 0.35 c NTU (h/cp) / dT to N, with NTU and dT those of the cooling water. The liquid therefore comes nearer to the entering
 * water and never passes it; condensing rises by what effectiveness-NTU gives for (1 - c) of the surface, about a tenth
 * of what the liquid falls; and each kelvin saves 0.9 % of flow and power. A wrong thermometer does none of the three: its
 * error is the same at every load, it may pass the water, and approach and power stay. That is how the two are told
 * apart. Where a record shows none of these, as approach and power move by less than they scatter, what is left is the prior
 * probability: one charge that is off is likelier than that of a dozen instruments just this one has gone off by kelvins
 * (a fault survey counts refrigerant leaks and wrong charge among the most frequent causes of service, and wrong sensors are
 * shared among all of them; Breuker & Braun 1998, HVAC&R Research 4:303, from memory).
 */
export function chargePatterns(state: PatternState): CausePattern[] {
  const wet = state.machine.evaporator !== 'dry-expansion';
  const severity = { median: 1, spread: 1 };
  const excess = { cause: 'excess-refrigerant', severity, eitherWay: false } as const;
  const missing = { cause: 'missing-refrigerant', severity, eitherWay: false } as const;
  const parts = (prior: number) => (wet ? prior / 2 : prior);
  return [
    { ...excess, form: 'in-condenser', ...moreInCondenser(state), prior: parts(0.08) },
    { ...missing, form: 'in-condenser', ...lessInCondenser(state), prior: parts(0.14) },
    ...(wet
      ? [
          { ...excess, form: 'in-evaporator', ...moreInEvaporator(state), prior: parts(0.08) },
          { ...missing, form: 'in-evaporator', ...lessInEvaporator(state), prior: parts(0.14) },
        ]
      : []),
  ];
}

type Effects = Pick<CausePattern, 'moves' | 'doubts'>;

/** What the standing liquid gains in transfer units. */
const unitsGained = (condenser: CondenserState): number =>
  (coveredFraction * liquidConductance * condenser.transferUnits * heatOverCapacity_K) /
  Math.max(0.5, condenser.change_K);

/** Rise of condensing with `coveredFraction` less of the surface, K. */
const riseUncovered = ({ condenser: { change_K, transferUnits } }: PatternState, covered: number): number =>
  approachOf(change_K, transferUnits * (1 - covered)) - approachOf(change_K, transferUnits);

const coolerOf = (condenser: CondenserState): number =>
  condenser.room_K * condenser.left * -Math.expm1(-unitsGained(condenser));

/** What is uncovered is at most what stands: N falls to N^2/(N + gained), and the liquid comes no warmer than condensing. */
function warmerOf(condenser: CondenserState): number {
  const { left, room_K } = condenser;
  const units = -Math.log(left);
  return room_K * (Math.exp((-units * units) / (units + unitsGained(condenser))) - left);
}

function moreInCondenser(state: PatternState): Effects {
  const usual = coolerOf(state.usualCondenser);
  return ofLiquid(state, -coolerOf(state.condenser), riseUncovered(state, coveredFraction), usual);
}

function lessInCondenser(state: PatternState): Effects {
  const usual = warmerOf(state.usualCondenser);
  const effects = ofLiquid(state, warmerOf(state.condenser), riseUncovered(state, -coveredFraction), usual);
  return {
    moves: {
      ...effects.moves,
      dischargeTemperature_K: orElse(effects.moves.dischargeTemperature_K ?? 0, 0) + 0.1,
      valveOpening_pct: (effects.moves.valveOpening_pct ?? 0) + 0.03 * state.at.valveOpening_pct,
    },
    doubts: {
      ...effects.doubts,
      dischargeTemperature_K: 0.3,
      suctionTemperature_K: 0.15,
      // What bubbles before the valve take of its room, once subcooling runs out, depends on the line.
      valveOpening_pct: 0.07 * state.at.valveOpening_pct,
    },
  };
}

/**
 * Liquid warmer by `warmer_K` and condensing up by `up_K`, with the flow for the same cooling. How the liquid goes with the
 * load depends on where the tubes of the coldest water lie, so that it is uncertain by what it is at the reference.
 */
function ofLiquid(state: PatternState, warmer_K: number, up_K: number, usual_K: number): Effects {
  const { machine, at, condensing_K, evaporating_K } = state;
  const up = condensingUp(state, up_K);
  const flow = flowPerKelvin * warmer_K;
  const plus = (own: number | undefined, more: number) => orElse(own ?? 0, 0) + more;
  return {
    moves: {
      ...up.moves,
      liquidTemperature_K: warmer_K,
      compressorPower_W: plus(up.moves.compressorPower_W, flow * at.compressorPower_W),
      compressorLoad_pct: plus(up.moves.compressorLoad_pct, flow * at.compressorLoad_pct),
      valveOpening_pct: plus(up.moves.valveOpening_pct, flow * at.valveOpening_pct),
    },
    doubts: {
      ...up.doubts,
      liquidTemperature_K: 0.4 * Math.max(Math.abs(warmer_K), usual_K),
      dischargePressure_Pa: pressureMove(
        machine,
        at.dischargePressure_Pa,
        condensing_K,
        Math.max(Math.abs(up_K), 0.08 * Math.abs(warmer_K)),
      ),
      compressorPower_W: Math.abs(0.6 * flow * at.compressorPower_W),
      compressorLoad_pct: Math.abs(flow * at.compressorLoad_pct),
      valveOpening_pct: Math.abs(at.valveOpening_pct) * Math.max(Math.abs(flow), 0.02),
      suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating_K, 0.02),
      // The evaporator keeps what it had.
      suctionTemperature_K: 0.05,
      dischargeTemperature_K: 0.1,
    },
  };
}

/** More liquid in the evaporator wets the suction: superheat falls by no more than there is, discharge superheat with it. */
function moreInEvaporator(state: PatternState): Effects {
  const { machine, at, evaporating_K } = state;
  const superheat = at.suctionTemperature_K - machine.dew.temperature(at.suctionPressure_Pa);
  const wetter = Number.isFinite(superheat) ? Math.min(0.5, Math.max(0.1, superheat / 2)) : 0.5;
  const moves: ChannelMoves = {
    suctionTemperature_K: -wetter,
    dischargeTemperature_K: -1.2 * wetter,
    suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating_K, 0.05),
    liquidTemperature_K: -0.2,
  };
  return {
    moves,
    doubts: {
      suctionTemperature_K: 0.6 * wetter,
      dischargeTemperature_K: 1.5 * wetter,
      suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating_K, 0.1),
      liquidTemperature_K: 0.3,
      dischargePressure_Pa: pressureMove(machine, at.dischargePressure_Pa, state.condensing_K, 0.05),
      compressorPower_W: 0.005 * at.compressorPower_W,
    },
  };
}

/** Less liquid uncovers tubes: evaporating falls with the heat through fewer of them, and the vapour leaves warmer. */
function lessInEvaporator(state: PatternState): Effects {
  const { machine, at, evaporating_K, heat } = state;
  const fall = 0.5 * heat;
  const less = {
    suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating_K, -fall),
    suctionTemperature_K: 0.1,
    dischargeTemperature_K: 0.8,
    liquidTemperature_K: 0.2,
    compressorPower_W: (fall / state.lift_K) * at.compressorPower_W,
    valveOpening_pct: 0.02 * at.valveOpening_pct,
  };
  return {
    moves: less,
    doubts: {
      suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating_K, 0.5 * fall),
      suctionTemperature_K: 0.5,
      dischargeTemperature_K: 0.7,
      liquidTemperature_K: 0.3,
      compressorPower_W: 0.5 * less.compressorPower_W,
      valveOpening_pct: 0.05 * at.valveOpening_pct,
    },
  };
}
