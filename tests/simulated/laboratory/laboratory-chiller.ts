import {
  isentropicDischarge,
  liquidEnthalpy,
  saturationCurve,
  saturationPressure,
  vapourDensity,
  vapourEnthalpy,
} from '@coldrounds/core';
import { seededRandom } from '../../../backend/core/src/numerics/index.js';

/**
 * A centrifugal chiller of a few hundred kilowatts on a laboratory's stand, from its resistances and its balance of
 * refrigerant: water inside tubes by McAdams (its conductance grows with its temperature), boiling and condensation by their
 * heat flux, a shell in whose bottom liquid stands, an impeller by flow and head, gas by its moles. Written for these
 * tests alone, by other equations than the analysis and than `water-cooled-chiller.ts`; every size is drawn.
 */
export interface LaboratoryChiller {
  refrigerant: string;
  capacity_W: number;
  chilledFlow_m3_s: number;
  coolingFlow_m3_s: number;
  evaporator: Exchanger;
  condenser: Exchanger;
  /** Share of the condenser's tubes in liquid at full load, how that grows towards no load, and by a tenth of the charge. */
  standing: { full: number; towardsNoLoad: number; byTenth: number };
  /** Transfer units of the liquid's way through those tubes at full load, and their fall with the flow. */
  liquid: { units: number; byFlow: number };
  /** Vapour's superheat at full load, its fall towards no load, and the share of surplus charge that reaches the evaporator. */
  superheat: { full_K: number; towardsNoLoad_K: number; surplusShare: number };
  impeller: { best: number; byFlow: number; byHead: number; oil_W: number };
  /** Pressure of one per cent of gas in the condenser at 308 K, Pa, and what it takes from condensation. */
  gas: { pressure_Pa: number; conductanceLost: number };
}

/** Transfer units at full load, the share of its resistance on the water's side, and how the refrigerant's goes with the flux. */
interface Exchanger {
  units: number;
  waterShare: number;
  byFlux: number;
}

/** What differs from the machine as it was built: by a fault, or from one day and plateau to the next. All 0 by default. */
export interface Changes {
  condenserFlow?: number;
  evaporatorFlow?: number;
  /** Shares of tubes blocked. */
  condenserTubes?: number;
  evaporatorTubes?: number;
  /** Share of the charge too much; under 0, missing. */
  charge?: number;
  /** Volume share of gas that does not condense, of the charge's vapour. */
  gas?: number;
  /** Shares by which the refrigerant sides conduct better. */
  boiling?: number;
  condensing?: number;
  efficiency?: number;
  superheat_K?: number;
}

export interface Condition {
  load: number;
  cooling_K: number;
  chilled_K: number;
}

export const channels = [
  'suctionPressure_Pa',
  'suctionTemperature_K',
  'dischargePressure_Pa',
  'dischargeTemperature_K',
  'liquidTemperature_K',
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
  'waterFlow_m3_s',
  'condenserEnteringTemperature_K',
  'condenserLeavingTemperature_K',
  'condenserFlow_m3_s',
  'compressorPower_W',
] as const;
export type Channel = (typeof channels)[number];
export type Readings = Record<Channel, number>;

/** Heat capacity of a cubic metre of water, J/(m3 K): 4.205e6 at 5 °C, 4.165e6 at 30 °C (handbook values, from memory). */
const waterHeat_J_m3K = (at_K: number): number => 4.205e6 - 1600 * (at_K - 278.15);
/** McAdams: h in proportion to (1 + 0.0146 t) V^0.8 with t in °C (e.g. ASHRAE Handbook Fundamentals, from memory). */
const waterSide = (at_K: number, velocity: number): number =>
  ((1 + 0.0146 * (at_K - 273.15)) / (1 + 0.0146 * 18)) * velocity ** 0.8;

export function laboratoryChiller(seed: number, refrigerant = 'R134a'): LaboratoryChiller {
  const random = seededRandom(Math.imul(seed + 7, 0x85ebca6b));
  for (let i = 0; i < 16; i++) random();
  const between = (low: number, high: number) => low + (high - low) * random();
  const capacity_W = between(220e3, 420e3);
  const [chilled, rejected] = [between(4.8, 6), between(4.6, 6)];
  const exchanger = (change: number, approach: number, byFlux: number): Exchanger => ({
    units: Math.log1p(change / approach),
    waterShare: between(0.35, 0.6),
    byFlux,
  });
  return {
    refrigerant,
    capacity_W,
    chilledFlow_m3_s: capacity_W / (4.2e6 * chilled),
    coolingFlow_m3_s: (1.2 * capacity_W) / (4.17e6 * rejected),
    evaporator: exchanger(chilled, between(1.2, 3), between(0.3, 0.7)),
    condenser: exchanger(rejected, between(1.2, 2.6), between(-0.33, -0.15)),
    standing: { full: between(0.06, 0.14), towardsNoLoad: between(-0.4, 0.3), byTenth: between(0.03, 0.06) },
    liquid: { units: between(0.4, 1.1), byFlow: between(0.3, 0.6) },
    superheat: {
      full_K: between(1.5, 4.5),
      towardsNoLoad_K: between(0.5, 1.2),
      surplusShare: between(0, 0.35),
    },
    impeller: {
      best: between(0.7, 0.8),
      byFlow: between(0.25, 0.6),
      byHead: between(0.2, 0.6),
      oil_W: between(0.006, 0.014) * capacity_W,
    },
    gas: { pressure_Pa: between(14e3, 30e3), conductanceLost: between(1.5, 4) },
  };
}

/** Transfer units with the two resistances in series, at another flow, temperature, number of tubes and heat flux. */
function transferUnits(
  own: Exchanger,
  at: { flow: number; water_K: number; tubes: number; flux: number; refrigerantSide: number },
): number {
  const water = own.waterShare / (waterSide(at.water_K, at.flow / at.tubes) * at.tubes);
  const other = (1 - own.waterShare) / (at.flux ** own.byFlux * at.tubes * at.refrigerantSide);
  return own.units / (water + other) / at.flow;
}

/** Steady readings without noise; the condenser's balance by repeated substitution. Throws where it does not settle. */
export function steadyReadings(chiller: LaboratoryChiller, at: Condition, changes: Changes = {}): Readings {
  const { refrigerant, capacity_W } = chiller;
  const heat_W = at.load * capacity_W;
  const charge = changes.charge ?? 0;
  const evaporator = evaporatorSide(chiller, at, changes, heat_W);
  const { suctionPressure_Pa, suction_K } = evaporator;
  const inlet = vapourEnthalpy(refrigerant, suctionPressure_Pa, suction_K);
  const density = vapourDensity(refrigerant, suctionPressure_Pa, suction_K);
  const { surplusShare } = chiller.superheat;
  const standing = Math.max(
    0.004,
    chiller.standing.full * (1 + chiller.standing.towardsNoLoad * (1 - at.load)) +
      10 * chiller.standing.byTenth * charge * (charge > 0 ? 1 - surplusShare : 1),
  );
  let liquid_K = at.cooling_K + 6;
  let rejected_W = 1.2 * heat_W;
  for (let round = 0; round < 60; round++) {
    const condenser = condenserSide(chiller, at, changes, rejected_W, standing);
    const flow = heat_W / (inlet - liquidEnthalpy(refrigerant, liquid_K));
    const compressor = impeller(
      chiller,
      suctionPressure_Pa,
      suction_K,
      condenser.pressure_Pa,
      flow / density,
    );
    const work = compressor.work_J_kg / (1 + (changes.efficiency ?? 0));
    const full = capacity_W / 155e3;
    const units =
      chiller.liquid.units *
      (standing / chiller.standing.full) *
      (flow / full) ** (chiller.liquid.byFlow - 1);
    const next_K = at.cooling_K + (condenser.condensing_K - at.cooling_K) * Math.exp(-units);
    const next_W = heat_W + 0.985 * flow * work;
    const settled = Math.abs(next_K - liquid_K) < 1e-5 && Math.abs(next_W - rejected_W) < 1e-6 * heat_W;
    [liquid_K, rejected_W] = [next_K, next_W];
    if (!settled) continue;
    // Oil, gear and motor: some of the work warms the room and the oil's cooler.
    const motor = 0.94 - 0.04 * (1 - at.load) ** 2;
    const discharge_K = temperatureOf(refrigerant, condenser.pressure_Pa, inlet + 0.985 * work);
    return {
      suctionPressure_Pa,
      suctionTemperature_K: suction_K,
      dischargePressure_Pa: condenser.pressure_Pa,
      dischargeTemperature_K: discharge_K,
      liquidTemperature_K: liquid_K,
      enteringWaterTemperature_K: at.chilled_K + evaporator.change_K,
      leavingWaterTemperature_K: at.chilled_K,
      waterFlow_m3_s: evaporator.flow_m3_s,
      condenserEnteringTemperature_K: at.cooling_K,
      condenserLeavingTemperature_K: at.cooling_K + condenser.change_K,
      condenserFlow_m3_s: condenser.flow_m3_s,
      compressorPower_W: (flow * work) / motor + chiller.impeller.oil_W,
    };
  }
  throw new Error('The chiller has no steady state at this condition.');
}

function evaporatorSide(chiller: LaboratoryChiller, at: Condition, changes: Changes, heat_W: number) {
  const share = 1 - (changes.evaporatorFlow ?? 0);
  const flow_m3_s = chiller.chilledFlow_m3_s * share;
  const change_K = heat_W / (flow_m3_s * waterHeat_J_m3K(at.chilled_K + 2));
  const charge = changes.charge ?? 0;
  const { surplusShare, full_K, towardsNoLoad_K } = chiller.superheat;
  // Tubes that run dry where charge is missing; less superheat where some of a surplus ends up here.
  const wet = 1 - 0.8 * Math.max(0, -charge) * (1 - surplusShare);
  const tubes = (1 - (changes.evaporatorTubes ?? 0)) * wet;
  const units = transferUnits(chiller.evaporator, {
    flow: share,
    water_K: at.chilled_K + change_K / 2,
    tubes,
    flux: at.load / tubes,
    refrigerantSide: 1 + (changes.boiling ?? 0),
  });
  const evaporating_K = at.chilled_K - change_K / Math.expm1(units);
  const superheat =
    (full_K - towardsNoLoad_K * (1 - at.load)) * Math.exp(-8 * surplusShare * Math.max(0, charge)) +
    15 * Math.max(0, -charge) +
    (changes.superheat_K ?? 0);
  return {
    flow_m3_s,
    change_K,
    suctionPressure_Pa: saturationPressure(chiller.refrigerant, evaporating_K, 'dew'),
    suction_K: evaporating_K + Math.max(0.2, superheat),
  };
}

function condenserSide(
  chiller: LaboratoryChiller,
  at: Condition,
  changes: Changes,
  rejected_W: number,
  standing: number,
) {
  const share = 1 - (changes.condenserFlow ?? 0);
  const flow_m3_s = chiller.coolingFlow_m3_s * share;
  const change_K = rejected_W / (flow_m3_s * waterHeat_J_m3K(at.cooling_K + 2));
  const tubes = 1 - (changes.condenserTubes ?? 0);
  const condensingShare = (1 - standing) / (1 - chiller.standing.full);
  const gas = changes.gas ?? 0;
  const units =
    condensingShare *
    transferUnits(chiller.condenser, {
      flow: share,
      water_K: at.cooling_K + change_K / 2,
      tubes,
      flux: rejected_W / (1.2 * chiller.capacity_W) / (tubes * condensingShare),
      refrigerantSide: (1 + (changes.condensing ?? 0)) / (1 + 100 * gas * 0.01 * chiller.gas.conductanceLost),
    });
  const condensing_K = at.cooling_K + change_K + change_K / Math.expm1(units);
  const vapour_Pa = saturationPressure(chiller.refrigerant, condensing_K, 'dew');
  return {
    flow_m3_s,
    change_K,
    condensing_K,
    pressure_Pa: vapour_Pa + ((100 * gas * condensing_K) / 308) * chiller.gas.pressure_Pa,
  };
}

/** Work on a kilogram by an efficiency that is best at full flow and at the head that goes with the flow. */
function impeller(
  { refrigerant, capacity_W, impeller: own }: LaboratoryChiller,
  suction_Pa: number,
  suction_K: number,
  discharge_Pa: number,
  flow_m3_s: number,
): { work_J_kg: number } {
  const head = isentropicDischarge(refrigerant, suction_Pa, suction_K, discharge_Pa).enthalpyRise_J_kg;
  const [flow, lift] = [flow_m3_s / (capacity_W / 2.75e6), head / 21e3];
  const off = lift - (0.55 + 0.45 * flow);
  return { work_J_kg: head / (own.best * (1 - own.byFlow * (1 - flow) ** 2 - own.byHead * off ** 2)) };
}

function temperatureOf(refrigerant: string, pressure_Pa: number, enthalpy: number): number {
  let low = saturationCurve(refrigerant, 'dew').temperature(pressure_Pa);
  let high = low + 60;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (vapourEnthalpy(refrigerant, pressure_Pa, middle) > enthalpy) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
