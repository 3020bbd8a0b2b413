import { logMean_K } from './log-mean.js';
import {
  at,
  dewTemperature,
  refrigerantTables,
  workBetween,
  type RefrigerantTables,
} from '../refrigerant-tables.js';
import { chokedDrop, openFlow, openingFor } from './valve.js';

/** What a circuit is made of, as a maker would size it: everything that the physics needs follows from this. */
export interface CircuitDesign {
  refrigerant: string;
  capacity_W: number;
  condenser: 'air' | 'water';
  evaporator: 'dry-expansion' | 'flooded';
  /** What a flooded evaporator's vapour is superheated by, K. */
  floodedSuperheat_K: number;
  /** Flow coefficient of ONE valve, fully open. */
  kv_m3_h: number;
  motors: 1 | 2;
  fullStroke_steps: number;
  rate_steps_s: number;
  setpoint_K: number;
  /** Evaporating and condensing dew temperature at full load, K. */
  evaporating_K: number;
  condensing_K: number;
  /** Coolant entering the condenser at full load, K, and what it warms up by. */
  coolant_K: number;
  coolantRise_K: number;
  /** Share of the condenser's resistance that is the coolant's film, and of the evaporator's that is the water's. */
  coolantResistance: number;
  waterResistance: number;
  enteringWater_K: number;
  leavingWater_K: number;
  /** Least condensing temperature that fan or water valve hold, K, and the band above it over which they open. */
  leastCondensing_K: number;
  condensingBand_K: number;
  /** How long the liquid in the evaporator lasts at full flow, s: the inertia of the dry-out point. */
  liquidHold_s: number;
  /** Share of the evaporator that is wetted at full load and 6 K of superheat. */
  wettedFraction: number;
  /** Superheat under which the outlet is wetted now and then: at no load, and what full load adds, K. */
  wettingBase_K: number;
  wettingByLoad_K: number;
  /** Standard deviation of the dry-out point, share of the evaporator's length, and its correlation time. From memory: Wedekind 1971. */
  dryoutSpread: number;
  dryoutMemory_s: number;
  sensorLag_s: number;
  /** Time that liquid takes from the valve to the dry-out point, s (at most 31). */
  transport_s: number;
  /** PI controller. */
  proportional_pct_K: number;
  integralTime_s: number;
  /** Controller moves the motor only when it wants more than this, %. */
  moveBand_pct: number;
  leastOpening_pct: number;
  greatestOpening_pct: number;
  /** Refrigerant charge over the right one. */
  charge: number;
}

/** Glide of a refrigerant at a bubble temperature, K; none of a single substance. */
function glideAtBubble_K(refrigerant: string, bubble_K: number): number {
  const tables = refrigerantTables(refrigerant);
  const glide_K = dewTemperature(tables, at(tables.bubblePressure_Pa, bubble_K)) - bubble_K;
  return glide_K > 0.05 ? glide_K : 0;
}

/** Values with which a healthy circuit of common build is described; a scenario overrides what differs. */
export function defaultDesign(
  given: Partial<CircuitDesign> & Pick<CircuitDesign, 'refrigerant' | 'capacity_W' | 'condenser'>,
): CircuitDesign {
  const water = given.condenser === 'water';
  // A condenser is chosen by what remains between liquid and coolant; a blend's dew point lies its glide higher.
  const bubble_K = water ? 309.15 : 317.15;
  const glide_K = glideAtBubble_K(given.refrigerant, bubble_K);
  return {
    evaporator: 'dry-expansion',
    floodedSuperheat_K: 1.5,
    kv_m3_h: 0,
    motors: 1,
    fullStroke_steps: 2600,
    rate_steps_s: 430,
    setpoint_K: 6,
    evaporating_K: 276.15,
    condensing_K: bubble_K + glide_K,
    coolant_K: water ? 302.15 : 305.15,
    coolantRise_K: water ? 5 : 6.5,
    coolantResistance: water ? 0.45 : 0.8,
    waterResistance: 0.45,
    enteringWater_K: 286.15,
    leavingWater_K: 280.15,
    leastCondensing_K: (water ? 296.15 : 303.15) + glide_K,
    condensingBand_K: water ? 3 : 5,
    liquidHold_s: 20,
    wettedFraction: 0.8,
    wettingBase_K: 1.1,
    wettingByLoad_K: 1.2,
    dryoutSpread: 0.016,
    dryoutMemory_s: 8,
    sensorLag_s: 16,
    transport_s: 14,
    proportional_pct_K: 2,
    integralTime_s: 80,
    moveBand_pct: 0.25,
    leastOpening_pct: 2,
    greatestOpening_pct: 100,
    charge: 1,
    ...given,
  };
}

/** A design worked out at full load. */
export interface CircuitPhysics {
  design: CircuitDesign;
  tables: RefrigerantTables;
  nominalFlow_kg_s: number;
  /** Swept volume flow times full load, m3/s. */
  displacement_m3_s: number;
  nominalPressureRatio: number;
  evaporatorUa_W_K: number;
  dryZoneNtu: number;
  fullLiquid_kg: number;
  vapourVolume_m3: number;
  wall_J_K: number;
  water_J_K: number;
  waterFlow_m3_s: number;
  condenserUa_W_K: number;
  /** What the full coolant carries for each kelvin, W/K. */
  coolant_W_K: number;
  condenser_J_K: number;
  subcoolingExponent: number;
  /** Opening at full load, %, from the flow law. */
  nominalOpening_pct: number;
  /** Heat rejected at full load, W. */
  rejected_W: number;
  power_W: number;
}

export const waterHeat_J_m3K = 4.18e6;
export const isentropicEfficiency = 0.68;
const nominalSuperheat_K = 6;
const nominalSubcooling_K = 5;
const nominalLiquidLevel = 0.25;

/** Volumetric efficiency over the pressure ratio: Common practice, no source: about 0.95 falling 0.035 per unit of ratio. */
export const volumetricEfficiency = (pressureRatio: number): number =>
  Math.max(0.4, 0.95 - 0.035 * (pressureRatio - 1));

/** Works out flows, areas and inertias from the full-load point. */
export function physicsOf(design: CircuitDesign): CircuitPhysics {
  const tables = refrigerantTables(design.refrigerant);
  const evaporating = design.evaporating_K;
  const suction_Pa = at(tables.dewPressure_Pa, evaporating);
  const discharge_Pa = at(tables.dewPressure_Pa, design.condensing_K);
  const liquid_K = at(tables.bubbleTemperature_K, design.condensing_K) - nominalSubcooling_K;
  const liquidEnthalpy = at(tables.liquidEnthalpy_J_kg, liquid_K);
  const dryEnthalpy = at(tables.vapourEnthalpy_J_kg, evaporating);
  const heatCapacity = at(tables.vapourHeatCapacity, evaporating);
  const latent = at(tables.latentHeat_J_kg, evaporating);
  const outletEnthalpy = dryEnthalpy + heatCapacity * nominalSuperheat_K;
  const flow = design.capacity_W / (outletEnthalpy - liquidEnthalpy);
  const density =
    at(tables.vapourDensity_kg_m3, evaporating) /
    (1 + at(tables.vapourExpansion, evaporating) * nominalSuperheat_K);
  const ratio = discharge_Pa / suction_Pa;
  const meanWater_K = 0.5 * (design.enteringWater_K + design.leavingWater_K);
  const evaporated_W = flow * (dryEnthalpy - liquidEnthalpy);
  const approach = design.enteringWater_K - evaporating;
  const work = workBetween(tables, evaporating, design.condensing_K) / isentropicEfficiency;
  const rejected_W = design.capacity_W + flow * work;
  const bubble_K = at(tables.bubbleTemperature_K, design.condensing_K);
  const dewDifference_K = design.condensing_K - design.coolant_K;
  const condenserUa =
    rejected_W / logMean_K(dewDifference_K - design.coolantRise_K, bubble_K - design.coolant_K);
  const inletQuality = 1 - (dryEnthalpy - liquidEnthalpy) / latent;
  const spread = bubble_K - design.coolant_K;
  return {
    design,
    tables,
    nominalFlow_kg_s: flow,
    displacement_m3_s: flow / (density * volumetricEfficiency(ratio)),
    nominalPressureRatio: ratio,
    evaporatorUa_W_K: evaporated_W / (design.wettedFraction * (meanWater_K - evaporating)),
    dryZoneNtu: -Math.log(1 - nominalSuperheat_K / approach) / (1 - design.wettedFraction),
    fullLiquid_kg: (flow * (1 - inletQuality) * design.liquidHold_s) / design.wettedFraction,
    vapourVolume_m3: (design.capacity_W / 1e5) * 0.03,
    wall_J_K: design.capacity_W * 0.12,
    water_J_K: (design.capacity_W / (design.enteringWater_K - design.leavingWater_K)) * 25,
    waterFlow_m3_s: design.capacity_W / (waterHeat_J_m3K * (design.enteringWater_K - design.leavingWater_K)),
    condenserUa_W_K: condenserUa,
    coolant_W_K: rejected_W / design.coolantRise_K,
    condenser_J_K: (rejected_W / dewDifference_K) * 60,
    subcoolingExponent:
      -Math.log(1 - nominalSubcooling_K / Math.max(spreadAtLiquid_K(design, spread), 6)) / nominalLiquidLevel,
    nominalOpening_pct: openingFor(
      flow /
        openFlow(
          design.kv_m3_h * design.motors,
          at(tables.liquidDensity_kg_m3, liquid_K),
          Math.min(
            0.95 * (discharge_Pa - suction_Pa),
            chokedDrop(discharge_Pa, at(tables.bubblePressure_Pa, liquid_K), tables.criticalPressure_Pa),
          ),
        ),
    ),
    rejected_W,
    power_W: flow * work,
  };
}

/** What the liquid's part of the condenser sees of a difference to the entering coolant at most, K. Judgement, no source. */
const mostSpread_K = { air: 25, water: 100 };

/** Slowed fans and throttled water warm up on their way: the liquid does not see all of the cold outside. */
function spreadAtLiquid_K({ condenser }: CircuitDesign, spread_K: number): number {
  const most_K = mostSpread_K[condenser];
  return most_K * (1 - Math.exp(-Math.max(0, spread_K) / most_K));
}

/** Condensing surface that a rise of the liquid's level by the design's full charge covers. Judgement, no source. */
const coveredByLevel = 0.3;

/** What the charge makes of the liquid line and of the condenser's surface. */
export interface LiquidLine {
  subcooling_K: number;
  /** Vapour in what reaches the valve: what is missing is missing in the condenser first. */
  vapourFraction: number;
  /** Surface left to condense on, over the design's. */
  condensingArea: number;
}

/**
 * Subcooling, the vapour share before the valve and the condensing surface, from the charge. The liquid that stands on the
 * lowest tubes is cooled towards the entering coolant, the further the more of it stands there and the slower it flows: the
 * transfer units of that part grow with its level and the conductance to the coolant, and fall with the flow to the 0.4.
 * `relative` is over the design's.
 */
export function liquidLine(
  physics: CircuitPhysics,
  charge: number,
  load: number,
  relative: { flow: number; conductance: number },
  bubble_K: number,
  coolant_K: number,
): LiquidLine {
  const level = nominalLiquidLevel + 1.2 * (charge - 1) + 0.06 * (1 - load);
  const covered = coveredByLevel * (Math.max(0, level) - nominalLiquidLevel);
  const condensingArea = Math.max(0.5, 1 - covered);
  if (level <= 0) return { subcooling_K: 0, vapourFraction: Math.min(0.5, -level), condensingArea };
  const spread = spreadAtLiquid_K(physics.design, bubble_K - coolant_K);
  const units = physics.subcoolingExponent * level * relative.conductance * Math.pow(relative.flow, -0.4);
  return { subcooling_K: spread * (1 - Math.exp(-units)), vapourFraction: 0, condensingArea };
}
