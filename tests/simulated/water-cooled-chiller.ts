import {
  emptyCircuitSeries,
  isentropicDischarge,
  liquidEnthalpy,
  saturationPressure,
  vapourEnthalpy,
  type CircuitSeries,
} from '@coldrounds/core';
import { normalDraws, seededRandom } from '../../backend/core/src/numerics/index.js';

/**
 * A water-cooled chiller with a flooded evaporator on a test stand, steady state by steady state: effectiveness-NTU
 * exchangers, a compressor with an isentropic efficiency, a condenser whose lowest tubes stand in liquid. Written for these
 * tests alone, apart from the analysis; no size is that of an existing machine: all are drawn at random.
 */
export interface TestChiller {
  refrigerant: string;
  capacity_W: number;
  evaporatorFlow_m3_s: number;
  condenserFlow_m3_s: number;
  evaporatorUnits: number;
  condenserUnits: number;
  efficiency: number;
  efficiencyFall: number;
  bestLoad: number;
  superheat_K: number;
  /** Share of the condenser's tubes that stand in liquid at full load. */
  flooded: number;
  subcoolingUnits: number;
  /** Share of the tubes that a tenth of the charge covers. */
  coveredByTenth: number;
}

export interface ChillerFault {
  condenserFlow?: number;
  evaporatorFlow?: number;
  /** Share of tubes blocked. */
  condenserTubes?: number;
  evaporatorTubes?: number;
  /** Share of the charge too much (or, under 0, missing). */
  charge?: number;
  /** Share by volume of gas that does not condense. */
  gas?: number;
  /** Share of the compressor's efficiency lost. */
  compressor?: number;
}

export interface Condition {
  load: number;
  condenserEntering_K: number;
  leaving_K: number;
}

const heat_J_m3K = 4.186e6;

/** Seeds that are neighbours give draws that are not. */
function scattered(seed: number): () => number {
  const random = seededRandom(Math.imul(seed + 1, 0x9e3779b1));
  for (let i = 0; i < 16; i++) random();
  return random;
}

export function randomChiller(seed: number): TestChiller {
  const random = scattered(seed);
  const between = (low: number, high: number) => low + (high - low) * random();
  const capacity_W = between(200e3, 800e3);
  const chilled = between(4.5, 6);
  const approach = between(0.9, 2.5);
  const condenserApproach = between(0.9, 2.5);
  const rejected = between(4.5, 6);
  return {
    refrigerant: ['R134a', 'R22', 'R450A', 'R513A'][Math.floor(random() * 4)],
    capacity_W,
    evaporatorFlow_m3_s: capacity_W / (heat_J_m3K * chilled),
    condenserFlow_m3_s: (capacity_W * 1.2) / (heat_J_m3K * rejected),
    evaporatorUnits: Math.log((approach + chilled) / approach),
    condenserUnits: Math.log((condenserApproach + rejected) / condenserApproach),
    efficiency: between(0.62, 0.8),
    efficiencyFall: between(0.1, 0.5),
    bestLoad: between(0.7, 0.95),
    superheat_K: between(0.5, 4),
    flooded: between(0.08, 0.18),
    subcoolingUnits: between(0.5, 1.1),
    coveredByTenth: between(0.03, 0.07),
  };
}

export interface SteadyState {
  suctionPressure_Pa: number;
  suctionTemperature_K: number;
  dischargePressure_Pa: number;
  dischargeTemperature_K: number;
  liquidTemperature_K: number;
  enteringWaterTemperature_K: number;
  leavingWaterTemperature_K: number;
  waterFlow_m3_s: number;
  condenserEnteringTemperature_K: number;
  condenserLeavingTemperature_K: number;
  condenserFlow_m3_s: number;
  compressorPower_W: number;
}

/** Steady state by repeated substitution of the power, which only warms the condenser's water. */
export function steadyState(chiller: TestChiller, at: Condition, fault: ChillerFault = {}): SteadyState {
  const { refrigerant } = chiller;
  const q = at.load * chiller.capacity_W;
  const evaporatorFlow = chiller.evaporatorFlow_m3_s * (1 - (fault.evaporatorFlow ?? 0));
  const condenserFlow = chiller.condenserFlow_m3_s * (1 - (fault.condenserFlow ?? 0));
  const chilled = q / (heat_J_m3K * evaporatorFlow);
  // Half of the resistance lies on the water's side, where it falls with velocity to the 0.8; boiling improves with load.
  const units = (full: number, flowFraction: number, tubes: number, load: number) => {
    const water = 0.5 / ((flowFraction / (1 - tubes)) ** 0.8 * (1 - tubes));
    const other = (0.5 / (1 - tubes)) * Math.max(load, 0.1) ** -0.12;
    return full / (water + other) / flowFraction;
  };
  const evaporatorUnits = units(
    chiller.evaporatorUnits,
    1 - (fault.evaporatorFlow ?? 0),
    fault.evaporatorTubes ?? 0,
    at.load,
  );
  const evaporating_K = at.leaving_K - chilled / Math.expm1(evaporatorUnits);
  const suctionPressure_Pa = saturationPressure(refrigerant, evaporating_K, 'dew');
  const suction_K =
    evaporating_K + chiller.superheat_K * (0.4 + 0.6 * at.load) * (1 - 4 * Math.max(0, fault.charge ?? 0));
  const inlet = vapourEnthalpy(refrigerant, suctionPressure_Pa, suction_K);
  const flooded = Math.max(
    0.005,
    chiller.flooded * (1.25 - 0.25 * at.load) + 10 * chiller.coveredByTenth * (fault.charge ?? 0),
  );
  let power = 0.2 * q;
  let liquid_K = at.condenserEntering_K + 8;
  let state = { dischargePressure_Pa: NaN, discharge_K: NaN, condensed_K: NaN, leaving_K: NaN };
  for (let round = 0; round < 25; round++) {
    const rejected = (q + power) / (heat_J_m3K * condenserFlow);
    const leaving_K = at.condenserEntering_K + rejected;
    const gas = fault.gas ?? 0;
    const condenserUnits =
      units(chiller.condenserUnits, 1 - (fault.condenserFlow ?? 0), fault.condenserTubes ?? 0, at.load) *
      ((1 - flooded) / (1 - chiller.flooded)) *
      (1 - 5 * gas);
    const condensed_K = leaving_K + rejected / Math.expm1(condenserUnits);
    // The gas gathers where vapour condenses: its share of the pressure there is a few times that of the whole charge.
    const dischargePressure_Pa = saturationPressure(refrigerant, condensed_K, 'dew') * (1 + 2.5 * gas);
    const subcooled = chiller.subcoolingUnits * (flooded / chiller.flooded) * Math.max(at.load, 0.1) ** -0.3;
    liquid_K = at.condenserEntering_K + (condensed_K - at.condenserEntering_K) * Math.exp(-subcooled * 0.7);
    const lossless = isentropicDischarge(refrigerant, suctionPressure_Pa, suction_K, dischargePressure_Pa);
    const efficiency =
      chiller.efficiency *
      (1 - chiller.efficiencyFall * (at.load - chiller.bestLoad) ** 2) *
      (1 - (fault.compressor ?? 0));
    const work = lossless.enthalpyRise_J_kg / efficiency;
    // Liquid enthalpy by the same zero as the vapour's: a saturated liquid's is its vapour's less the latent heat.
    const flow = q / (inlet - liquidEnthalpy(refrigerant, liquid_K));
    power = (flow * work) / 0.95;
    state = {
      dischargePressure_Pa,
      discharge_K: dischargeTemperature(refrigerant, dischargePressure_Pa, inlet + work),
      condensed_K,
      leaving_K,
    };
  }
  return {
    suctionPressure_Pa,
    suctionTemperature_K: suction_K,
    dischargePressure_Pa: state.dischargePressure_Pa,
    dischargeTemperature_K: state.discharge_K,
    liquidTemperature_K: liquid_K,
    enteringWaterTemperature_K: at.leaving_K + chilled,
    leavingWaterTemperature_K: at.leaving_K,
    waterFlow_m3_s: evaporatorFlow,
    condenserEnteringTemperature_K: at.condenserEntering_K,
    condenserLeavingTemperature_K: state.leaving_K,
    condenserFlow_m3_s: condenserFlow,
    compressorPower_W: power,
  };
}

function dischargeTemperature(refrigerant: string, pressure_Pa: number, enthalpy: number): number {
  let low = 290;
  let high = 400;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    let above: boolean;
    try {
      above = vapourEnthalpy(refrigerant, pressure_Pa, middle) > enthalpy;
    } catch {
      above = false; // wet
    }
    if (above) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

/** 27 conditions: three loads, three entering condenser and three leaving chilled water temperatures, in random order. */
export function testConditions(random: () => number): Condition[] {
  const all: Condition[] = [];
  for (const load of [0.35, 0.6, 0.9])
    for (const condenserEntering_K of [293.15, 297.65, 302.65])
      for (const leaving_K of [277.65, 280.35, 283.15])
        all.push({
          load: load * (1 + 0.06 * (random() - 0.5)),
          condenserEntering_K: condenserEntering_K + 0.6 * (random() - 0.5),
          leaving_K: leaving_K + 0.3 * (random() - 0.5),
        });
  for (let i = all.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [all[i], all[j]] = [all[j], all[i]];
  }
  return all;
}

export interface StandHabits {
  step_s?: number;
  /** Minutes at each condition. */
  dwell_min?: number;
  without?: (keyof SteadyState)[];
}

const fahrenheit = 0.1 / 1.8;
/** Step of each signal: a tenth of a degree Fahrenheit, a tenth of a psi, a hundredth of flow and power. */
const resolution = (name: string, usual: number): number =>
  name.endsWith('_K') ? fahrenheit : name.endsWith('_Pa') ? 689.5 : usual * 0.002;

/**
 * A day on the stand: every condition held for about 40 min after an approach of some minutes, a slow swing of its
 * control, noise, rounding, and instruments that read a little otherwise than the day before.
 */
export function standDay(
  chiller: TestChiller,
  seed: number,
  fault: ChillerFault = {},
  habits: StandHabits = {},
): CircuitSeries {
  const random = scattered(seed);
  const normal = normalDraws(random);
  const step_s = habits.step_s ?? 10;
  const conditions = testConditions(random);
  const dwell_s = (habits.dwell_min ?? 40) * 60;
  const perCondition = Math.round(dwell_s / step_s);
  const series = emptyCircuitSeries(conditions.length * perCondition);
  const names = (Object.keys(steadyState(chiller, conditions[0])) as (keyof SteadyState)[]).filter(
    (name) => !habits.without?.includes(name),
  );
  const usual = steadyState(chiller, conditions[0]);
  const offset = Object.fromEntries(
    names.map((name) => [
      name,
      normal() *
        (name.endsWith('_K') ? 0.03 : name.endsWith('_Pa') ? 0.001 * usual[name] : 0.003 * usual[name]),
    ]),
  );
  const start_s = Date.UTC(2026, 4, 4) / 1000 + Math.floor(random() * 1000) * 86_400;
  let before: SteadyState | null = null;
  conditions.forEach((condition, c) => {
    const repeated = {
      ...condition,
      load: condition.load * (1 + 0.002 * normal()),
    };
    const target = steadyState(chiller, repeated, fault);
    // What a machine does not repeat from one visit of a condition to the next.
    const wander = Object.fromEntries(
      names.map((name) => [
        name,
        normal() *
          (name.endsWith('_K') ? 0.03 : name.endsWith('_Pa') ? 0.0008 * target[name] : 0.003 * target[name]),
      ]),
    );
    const swing = 0.05 + 0.1 * random();
    const period_s = 200 + 400 * random();
    for (let k = 0; k < perCondition; k++) {
      const row = c * perCondition + k;
      const time = k * step_s;
      series.time_s[row] = start_s + row * step_s;
      const gone = before === null ? 1 : 1 - Math.exp(-time / 240);
      const wave = swing * Math.sin((2 * Math.PI * time) / period_s);
      for (const name of names) {
        const from = before === null ? target[name] : before[name];
        const noise = normal() * (name.endsWith('_K') ? 0.04 : 0.0015 * target[name]);
        const swung = name.endsWith('WaterTemperature_K') || name === 'suctionTemperature_K' ? wave : 0;
        const value = from + gone * (target[name] + wander[name] - from) + swung + offset[name] + noise;
        const step = resolution(name, usual[name]);
        series[name][row] = Math.round(value / step) * step;
      }
    }
    before = target;
  });
  return series;
}
