import { saturationPressure } from '../../../refrigerants/index.js';
import {
  exponentOfFans,
  fullFans_pct,
  isToEnteringAir,
  shareOfFullFans,
  unitsAtFans,
} from '../../../normal/quantities/fans.js';
import { transferUnitsOf } from '../../../normal/quantities/exchanger.js';
import type { Machine } from '../../../normal/quantities/machine.js';
import {
  condenserEntering_K,
  condensing_K,
  evaporating_K,
  waterHeat_W,
  type ChannelValues,
} from '../../../normal/quantities/quantities.js';
import type { CausePattern } from './cause-pattern.js';

/** The state at which effects are worked out, with what the patterns share. */
export interface PatternState {
  machine: Machine;
  at: ChannelValues;
  /** The state at which one unit of severity is defined: the mean of the plateaus that are judged. */
  reference: ChannelValues;
  condensing_K: number;
  evaporating_K: number;
  lift_K: number;
  /** Warming of the discharge for each kelvin of lift. */
  dischargePerLift: number;
  /** Share of the heat rejected that the compressor adds. */
  addedFraction: number;
  /** Heat as a share of that at the reference. */
  heat: number;
  condenser: CondenserState;
  /** The condenser at the reference. */
  usualCondenser: CondenserState;
  fans: FansAnswer;
}

/**
 * What fans that are held back do about a condenser that gives less: of what condensing would rise by at the speed that they
 * have, this share is left, and by so much faster they turn for each kelvin that it would.
 */
export interface FansAnswer {
  left: number;
  faster_pct: number;
}

/** The condenser by effectiveness-NTU, with the liquid that stands in it. */
export interface CondenserState {
  /** Change of its water or air, and distance of the condensing temperature from what leaves, K. */
  change_K: number;
  approach_K: number;
  transferUnits: number;
  /** Liquid temperature over what enters, as a share of the condensing temperature over it: what is left to cool, 0.15 to 0.99. */
  left: number;
  /** Condensing temperature over what enters, K. */
  room_K: number;
}

export function stateAt(
  machine: Machine,
  at: ChannelValues,
  reference: ChannelValues = at,
  fansPerKelvin: number | null = null,
): PatternState {
  const condensing = condensing_K(machine, at.dischargePressure_Pa);
  const evaporating = evaporating_K(machine, at.suctionPressure_Pa);
  const lift_K = Math.max(5, orElse(condensing - evaporating, 30));
  const rise = at.dischargeTemperature_K - at.suctionTemperature_K;
  const heat = heatFraction(machine, at, reference);
  return {
    machine,
    at,
    reference,
    condensing_K: condensing,
    evaporating_K: evaporating,
    lift_K,
    dischargePerLift: Math.min(2, Math.max(0.8, orElse(rise / lift_K, 1.2))),
    addedFraction: orElse(at.compressorPower_W / (at.compressorPower_W + waterHeat_W(at)), 0.18),
    heat,
    condenser: condenserState(machine, at, condensing, heat),
    usualCondenser: condenserState(
      machine,
      reference,
      condensing_K(machine, reference.dischargePressure_Pa),
      1,
    ),
    fans: fansAnswer(machine, at, condensing, fansPerKelvin),
  };
}

/**
 * How much more or less a fouling layer raises condensing than at the reference, at the same heat, where the fans turn otherwise: air that
 * passes slowly leaves nearly as warm as it can whatever the layer (effectiveness-NTU: the rise goes with NTU / (exp(NTU) - 1)),
 * so that fouling hardly shows, where too little air shows at any speed.
 */
export function foulingByFans({ machine, at, reference }: PatternState): number {
  if (!isToEnteringAir(machine, at)) return 1;
  const shown = ({ condenserFanSpeed_pct: fan }: ChannelValues) => {
    const units = unitsAtFans(fan);
    return units / Math.expm1(units) / shareOfFullFans(fan);
  };
  return shown(at) / shown(reference);
}

const unmoved: FansAnswer = { left: 1, faster_pct: 0 };

/** By the law that the fans were seen to follow: a kelvin more of condensing turns them faster, and that takes some of it back. */
function fansAnswer(
  machine: Machine,
  at: ChannelValues,
  condensing: number,
  fansPerKelvin: number | null,
): FansAnswer {
  const fan = at.condenserFanSpeed_pct;
  const room_K = condensing - condenserEntering_K(machine, at);
  if (fansPerKelvin === null || !(fan < fullFans_pct) || !(room_K > 0)) return unmoved;
  const taken = (fansPerKelvin * room_K * exponentOfFans(fan)) / fan;
  const left = 1 / (1 + taken);
  return { left, faster_pct: fansPerKelvin * left };
}

/** Fans turn faster by this where they hold the pressure whatever the condenser does, for each kelvin that it would rise by. */
export function fansThatHold_pct({ machine, at, condensing_K }: PatternState): number {
  const fan = at.condenserFanSpeed_pct;
  const room_K = condensing_K - condenserEntering_K(machine, at);
  return room_K > 0 ? fan / (room_K * exponentOfFans(fan)) : 0;
}

export const orElse = (value: number, fallback: number): number =>
  Number.isFinite(value) ? value : fallback;

/** Heat as a share of that at the reference, by the first of water heat, load, power and water difference that both have. */
function heatFraction(machine: Machine, at: ChannelValues, reference: ChannelValues): number {
  const ways: ((values: ChannelValues) => number)[] = [
    ...(machine.alone ? [waterHeat_W] : []),
    (values) => values.compressorLoad_pct,
    (values) => values.compressorPower_W,
    (values) => values.condenserLeavingTemperature_K - condenserEntering_K(machine, values),
  ];
  for (const way of ways) {
    const share = way(at) / way(reference);
    if (share > 0) return Math.min(3, Math.max(0.2, share));
  }
  return 1;
}

/** Where the change of its water or air is not known it is a usual one: by the fans' speed where that is sent, else with the heat. */
function condenserState(
  machine: Machine,
  at: ChannelValues,
  condensing: number,
  heat: number,
): CondenserState {
  const room_K = Math.max(1, orElse(condensing - condenserEntering_K(machine, at), 8));
  const byFans = machine.condenser === 'air' && Number.isFinite(at.condenserFanSpeed_pct);
  const warmed_K = byFans
    ? -Math.expm1(-unitsAtFans(at.condenserFanSpeed_pct)) * room_K
    : heat * (machine.condenser === 'water' ? 5 : 8);
  const change_K = orElse(at.condenserLeavingTemperature_K - condenserEntering_K(machine, at), warmed_K);
  const approach_K = orElse(condensing - at.condenserLeavingTemperature_K, byFans ? room_K - warmed_K : 2);
  const left = orElse((at.liquidTemperature_K - condenserEntering_K(machine, at)) / room_K, 0.6);
  return {
    change_K,
    approach_K,
    transferUnits: orElse(transferUnitsOf(change_K, approach_K), 1.3),
    left: Math.min(0.99, Math.max(0.15, left)),
    room_K,
  };
}

/** Change of pressure that moves the saturation temperature by `kelvin`. */
export function pressureMove(
  machine: Machine,
  pressure_Pa: number,
  saturation_K: number,
  kelvin: number,
): number {
  if (!Number.isFinite(saturation_K) || kelvin === 0) return 0;
  return pressure_Pa * Math.expm1(logSlope(machine, saturation_K) * kelvin);
}

/** d ln p / dT of saturation, 1/K. */
export function logSlope(machine: Machine, saturation_K: number): number {
  const step = 0.5;
  return (
    (saturationPressure(machine.refrigerant, saturation_K + step, 'dew') -
      saturationPressure(machine.refrigerant, saturation_K - step, 'dew')) /
    (2 * step * saturationPressure(machine.refrigerant, saturation_K, 'dew'))
  );
}

type Effects = Pick<CausePattern, 'moves' | 'doubts'>;

/** The condensing pressure, the discharge temperature and the power when condensing rises by `wanted_K` at the fans' speed. */
export function condensingUp(state: PatternState, wanted_K: number): Effects {
  const { machine, at, condensing_K: condensing, lift_K, dischargePerLift, addedFraction, fans } = state;
  const kelvin = fans.left * wanted_K;
  const more = kelvin / lift_K;
  const pressure = pressureMove(machine, at.dischargePressure_Pa, condensing, kelvin);
  const reject =
    (at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K) * addedFraction * more;
  return {
    moves: {
      dischargePressure_Pa: pressure,
      dischargeTemperature_K: dischargePerLift * kelvin,
      compressorPower_W: at.compressorPower_W * more,
      compressorLoad_pct: 0.5 * at.compressorLoad_pct * more,
      condenserLeavingTemperature_K: reject,
      valveOpening_pct: valveMove(at, pressure),
      ...(fans.faster_pct > 0 ? { condenserFanSpeed_pct: fans.faster_pct * wanted_K } : {}),
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
export function evaporatingDown(state: PatternState, kelvin: number): Effects {
  const { machine, at, evaporating_K: evaporating, lift_K, dischargePerLift } = state;
  const more = kelvin / lift_K + 0.01 * kelvin;
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

/** Share of the conductance that is left at a tenth less water flow: half of the resistance is the water's, with velocity to the 0.8. */
export const conductanceLeft = 1 / (0.5 + 0.5 * 0.9 ** -0.8);
