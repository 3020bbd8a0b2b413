import { saturationPressure } from '../../refrigerants/index.js';
import { approachOf, transferUnitsOf } from '../../normal/quantities/exchanger.js';
import type { Machine } from '../../normal/quantities/machine.js';
import {
  condenserEntering_K,
  condensing_K,
  evaporating_K,
  waterHeat_W,
  type ChannelValues,
} from '../../normal/quantities/quantities.js';
import type { CausePattern } from './cause-pattern.js';

/** The state around which effects are worked out, with what the patterns share. */
interface State {
  machine: Machine;
  at: ChannelValues;
  condensing: number;
  evaporating: number;
  lift: number;
  /** Warming of the discharge for each kelvin of lift. */
  dischargePerLift: number;
  /** Share of the heat rejected that the compressor adds. */
  addedShare: number;
}

/**
 * How far each fault moves what is measured, from the balance of the circuit at the state `at`:
 *
 * - an exchanger's approach by effectiveness-NTU, its water's change by the heat balance;
 * - power at the same cooling in proportion to the lift between evaporating and condensing temperature, d ln P = dT/lift;
 * - the discharge temperature along the present ratio of its rise to the lift;
 * - gas that does not condense adds its own pressure: the condensing temperature that the pressure seems to say rises,
 *   the liquid's hardly does, so that approach and subcooling rise together;
 * - a valve that holds the flow opens less as its pressure difference grows, with the square root (IEC 60534);
 * - too much refrigerant stands in the condenser as liquid: colder liquid, somewhat less surface to condense on;
 * - too little uncovers it; in a flooded evaporator it also uncovers tubes, and superheat rises.
 *
 * The signs of missing refrigerant, a restricted line and a fouled condenser's pressure agree with the tables of Rossi &
 * Braun 1997 and Breuker & Braun 1998 (fixed orifice: there the superheat moves where here the valve does). Others of those
 * tables hold where the cooling falls with the fault; here the cooling and the leaving water are the same, so that a weak
 * compressor and little evaporator water hardly move the evaporating temperature. Doubts and priors are judgement (no source).
 */
export function physicalPatterns(machine: Machine, at: ChannelValues): CausePattern[] {
  const state = stateAt(machine, at);
  return [
    ...condenserPatterns(state),
    ...evaporatorPatterns(state),
    ...chargePatterns(state),
    ...compressorAndValvePatterns(state),
  ];
}

function stateAt(machine: Machine, at: ChannelValues): State {
  const condensing = condensing_K(machine, at.dischargePressure_Pa);
  const evaporating = evaporating_K(machine, at.suctionPressure_Pa);
  const lift = Math.max(5, orElse(condensing - evaporating, 30));
  const heat = waterHeat_W(at);
  const rise = at.dischargeTemperature_K - at.suctionTemperature_K;
  return {
    machine,
    at,
    condensing,
    evaporating,
    lift,
    dischargePerLift: Math.min(2, Math.max(0.8, orElse(rise / lift, 1.2))),
    addedShare: orElse(at.compressorPower_W / (at.compressorPower_W + heat), 0.18),
  };
}

const orElse = (value: number, fallback: number): number => (Number.isFinite(value) ? value : fallback);

/** Change of pressure that moves the saturation temperature by `kelvin`. */
function pressureMove(machine: Machine, pressure_Pa: number, saturation_K: number, kelvin: number): number {
  if (!Number.isFinite(saturation_K) || kelvin === 0) return 0;
  const step = 0.5;
  const slope =
    (saturationPressure(machine.refrigerant, saturation_K + step, 'dew') -
      saturationPressure(machine.refrigerant, saturation_K - step, 'dew')) /
    (2 * step * saturationPressure(machine.refrigerant, saturation_K, 'dew'));
  return pressure_Pa * Math.expm1(slope * kelvin);
}

/** The condensing pressure, the discharge temperature and the power when condensing rises by `kelvin`. */
function condensingUp(state: State, kelvin: number): Pick<CausePattern, 'moves' | 'doubts'> {
  const { machine, at, condensing, lift, dischargePerLift, addedShare } = state;
  const more = kelvin / lift;
  const pressure = pressureMove(machine, at.dischargePressure_Pa, condensing, kelvin);
  const reject = (at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K) * addedShare * more;
  return {
    moves: {
      dischargePressure_Pa: pressure,
      dischargeTemperature_K: dischargePerLift * kelvin,
      compressorPower_W: at.compressorPower_W * more,
      compressorLoad_pct: 0.5 * at.compressorLoad_pct * more,
      condenserLeavingTemperature_K: reject,
      valveOpening_pct: valveMove(at, pressure),
    },
    doubts: {
      valveOpening_pct: 0.5 * Math.abs(valveMove(at, pressure)),
      dischargeTemperature_K: 0.35 * Math.abs(kelvin),
      compressorPower_W: 0.4 * Math.abs(at.compressorPower_W * more),
      compressorLoad_pct: 0.5 * Math.abs(at.compressorLoad_pct * more),
      suctionTemperature_K: 0.15 * Math.abs(kelvin),
    },
  };
}

/** Change of the opening of a valve that passes the same flow when its pressure difference grows by `pressure_Pa`. */
const valveMove = (at: ChannelValues, pressure_Pa: number): number =>
  (-0.5 * at.valveOpening_pct * pressure_Pa) / (at.dischargePressure_Pa - at.suctionPressure_Pa);

/** The evaporating pressure and what follows when evaporating falls by `kelvin`. */
function evaporatingDown(state: State, kelvin: number): Pick<CausePattern, 'moves' | 'doubts'> {
  const { machine, at, evaporating, lift, dischargePerLift } = state;
  const more = kelvin / lift + 0.01 * kelvin;
  return {
    moves: {
      suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating, -kelvin),
      suctionTemperature_K: -kelvin,
      dischargeTemperature_K: (dischargePerLift - 1) * kelvin,
      compressorPower_W: at.compressorPower_W * more,
      compressorLoad_pct: 0.5 * at.compressorLoad_pct * more,
    },
    doubts: {
      suctionTemperature_K: 0.35 * Math.abs(kelvin),
      dischargeTemperature_K: 0.4 * Math.abs(kelvin),
      compressorPower_W: 0.4 * Math.abs(at.compressorPower_W * more),
      compressorLoad_pct: 0.5 * Math.abs(at.compressorLoad_pct * more),
      valveOpening_pct: 0.03 * Math.abs(at.valveOpening_pct * kelvin),
    },
  };
}

function condenserPatterns(state: State): CausePattern[] {
  const { machine, at, condensing } = state;
  const fouled = condensingUp(state, 1);
  const gas = condensingUp(state, 1);
  const patterns: CausePattern[] = [
    {
      cause: 'condenser-fouled',
      moves: { ...fouled.moves, liquidTemperature_K: 0.85 },
      doubts: { ...fouled.doubts, liquidTemperature_K: 0.35 },
      severity: { median: 0.7, spread: 1.1 },
      eitherWay: false,
      prior: 0.16,
    },
    {
      cause: 'gas-in-circuit',
      moves: { ...gas.moves, liquidTemperature_K: 0.12 },
      doubts: { ...gas.doubts, liquidTemperature_K: 0.2 },
      severity: { median: 1.2, spread: 1.1 },
      eitherWay: false,
      prior: 0.08,
    },
  ];
  // A tenth less flow: the change grows, the transfer units too, as the conductance falls less than the flow.
  const change = at.condenserLeavingTemperature_K - condenserEntering_K(at);
  const entering = orElse(change, machine.condenser === 'water' ? 5 : 8);
  const approach = orElse(condensing - at.condenserLeavingTemperature_K, 2);
  const units = orElse(transferUnitsOf(entering, approach), 1.3);
  const more = entering / 0.9 - entering;
  const rise =
    more + approachOf(entering + more, (units * conductanceLeft) / 0.9) - approachOf(entering, units);
  const slow = condensingUp(state, rise);
  patterns.push({
    cause: 'condenser-flow-low',
    moves: {
      ...slow.moves,
      condenserFlow_m3_s: -0.1 * at.condenserFlow_m3_s,
      condenserFanSpeed_pct: 0,
      condenserLeavingTemperature_K: more + orElse(slow.moves.condenserLeavingTemperature_K ?? 0, 0),
      liquidTemperature_K: 0.9 * rise,
    },
    doubts: {
      ...slow.doubts,
      dischargePressure_Pa: pressureMove(machine, at.dischargePressure_Pa, condensing, 0.3 * rise),
      condenserLeavingTemperature_K: 0.1 * more,
      liquidTemperature_K: 0.5 * rise,
    },
    severity: { median: 1.5, spread: 0.8 },
    eitherWay: false,
    prior: 0.12,
  });
  return patterns;
}

/** Share of the conductance that is left at a tenth less water flow: half of the resistance is the water's, with velocity to the 0.8. */
const conductanceLeft = 1 / (0.5 + 0.5 * 0.9 ** -0.8);

function evaporatorPatterns(state: State): CausePattern[] {
  const { machine, at, evaporating } = state;
  const fouled = evaporatingDown(state, 1);
  const change = orElse(at.enteringWaterTemperature_K - at.leavingWaterTemperature_K, 5);
  const approach = orElse(at.leavingWaterTemperature_K - evaporating, 3);
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
      prior: 0.06,
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
        suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating, 0.1 * approach),
        suctionTemperature_K: 0.1 * approach,
      },
      severity: { median: 1.5, spread: 0.8 },
      eitherWay: false,
      prior: 0.1,
    },
  ];
}

function chargePatterns(state: State): CausePattern[] {
  const { machine, at, condensing, evaporating } = state;
  const wet = machine.evaporator !== 'dry-expansion';
  const up = condensingUp(state, 0.25);
  const down = condensingUp(state, -0.1);
  return [
    {
      cause: 'excess-refrigerant',
      moves: {
        ...up.moves,
        liquidTemperature_K: -0.8,
        suctionTemperature_K: wet ? -0.5 : 0,
        dischargeTemperature_K: (up.moves.dischargeTemperature_K ?? 0) - (wet ? 0.6 : 0),
        valveOpening_pct: (up.moves.valveOpening_pct ?? 0) - 0.01 * at.valveOpening_pct,
      },
      doubts: {
        ...up.doubts,
        dischargePressure_Pa: pressureMove(machine, at.dischargePressure_Pa, condensing, 0.2),
        suctionTemperature_K: wet ? 1 : 0.3,
        dischargeTemperature_K: wet ? 1.2 : 0.4,
        suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating, 0.1),
        valveOpening_pct: 0.02 * at.valveOpening_pct,
      },
      severity: { median: 1, spread: 0.9 },
      eitherWay: false,
      prior: 0.08,
    },
    {
      cause: 'missing-refrigerant',
      moves: {
        ...down.moves,
        liquidTemperature_K: 0.9,
        suctionPressure_Pa: wet ? pressureMove(machine, at.suctionPressure_Pa, evaporating, -0.1) : 0,
        suctionTemperature_K: wet ? 0.15 : 0,
        dischargeTemperature_K: 0.2,
        valveOpening_pct: 0.03 * at.valveOpening_pct,
      },
      doubts: {
        ...down.doubts,
        dischargePressure_Pa: pressureMove(machine, at.dischargePressure_Pa, condensing, 0.15),
        suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating, wet ? 0.25 : 0.1),
        suctionTemperature_K: 0.4,
        dischargeTemperature_K: 0.5,
        valveOpening_pct: 0.05 * at.valveOpening_pct,
      },
      severity: { median: 1, spread: 0.9 },
      eitherWay: false,
      prior: 0.14,
    },
  ];
}

function compressorAndValvePatterns(state: State): CausePattern[] {
  const { machine, at, evaporating, addedShare } = state;
  const wet = machine.evaporator !== 'dry-expansion';
  const rise = orElse(at.dischargeTemperature_K - at.suctionTemperature_K, 40);
  const change = orElse(at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K, 5);
  const patterns: CausePattern[] = [
    {
      // A tenth more power for the same cooling; most of it leaves with the discharge.
      cause: 'compressor-weak',
      moves: {
        compressorPower_W: 0.1 * at.compressorPower_W,
        compressorLoad_pct: 0.1 * at.compressorLoad_pct,
        dischargeTemperature_K: 0.1 * rise,
        condenserLeavingTemperature_K: 0.1 * addedShare * change,
      },
      doubts: {
        compressorLoad_pct: 0.06 * at.compressorLoad_pct,
        dischargeTemperature_K: 0.06 * rise,
        suctionTemperature_K: 0.2,
        liquidTemperature_K: 0.1,
      },
      severity: { median: 0.8, spread: 0.8 },
      eitherWay: false,
      prior: 0.06,
    },
    {
      // With a valve that still has room, it opens further and hardly anything else moves.
      cause: 'liquid-line-restricted',
      moves: {
        valveOpening_pct: 0.15 * at.valveOpening_pct,
        liquidTemperature_K: wet ? -0.3 : -0.02,
        suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating, wet ? -0.4 : -0.02),
        suctionTemperature_K: wet ? 0.3 : 0.02,
        dischargeTemperature_K: wet ? 0.7 : 0.04,
      },
      doubts: {
        valveOpening_pct: 0.08 * at.valveOpening_pct,
        liquidTemperature_K: wet ? 0.3 : 0.05,
        suctionPressure_Pa: pressureMove(machine, at.suctionPressure_Pa, evaporating, wet ? 0.3 : 0.04),
        suctionTemperature_K: wet ? 0.5 : 0.05,
        dischargeTemperature_K: wet ? 0.6 : 0.08,
      },
      severity: { median: 1.2, spread: 0.9 },
      eitherWay: false,
      prior: 0.07,
    },
  ];
  if (Number.isFinite(at.valveOpening_pct))
    patterns.push({
      // Nothing else moves: the valve passes what it did at another counted position, further open where it lost steps
      // on opening, less where on closing. A restriction that the valve makes up for looks alike.
      cause: 'valve-offset',
      moves: { valveOpening_pct: 0.1 * at.valveOpening_pct },
      doubts: { suctionTemperature_K: 0.1 },
      severity: { median: 1.2, spread: 0.8 },
      eitherWay: true,
      prior: 0.05,
    });
  return patterns;
}
