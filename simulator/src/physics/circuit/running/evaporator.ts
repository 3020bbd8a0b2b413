import type { CircuitState } from '../circuit-state.js';
import type { CircuitPhysics } from '../design.js';
import { nextState, normalOf } from '../../random.js';
import { gridPosition } from '../../refrigerant-tables.js';
import type { RunningConditions } from './running-conditions.js';
import { characteristic } from '../valve.js';

/** Flows of one second. */
export interface EvaporatorFlows {
  valve_kg_s: number;
  /** Vapour that the compressor draws, and liquid that it is handed. */
  drawn_kg_s: number;
  carry_kg_s: number;
  /** Heat out of the water. */
  heat_W: number;
  /** Slope of the dew pressure at the beginning of the second, Pa/K. */
  pressureSlope: number;
}

/**
 * Advances the evaporator by one second.
 *
 * Liquid inventory M (mass balance of the wetted zone) sets the wetted fraction z = M / M_full; heat to the wetted
 * zone UA z (T_water - T_e) boils liquid; the vapour balance sets T_e (solved implicitly, one Newton step); the dry
 * zone warms the vapour to SH = (T_in - T_e)(1 - exp(-NTU (1 - z))). The gain of superheat over the dry-out point,
 * -NTU (T_in - T_e - SH), grows as superheat falls. Under the wetting limit s, drops reach the outlet and what
 * arrives is SH (1 - exp(-(SH/s)^2)), while the dry-out point moves about more (from memory: Huelle; Wedekind 1971).
 *
 * Mass is conserved to rounding: boiling is what the vapour balance leaves; heat from the water is what boiling,
 * superheating and the change of temperature took.
 */
export function advanceEvaporator(
  physics: CircuitPhysics,
  state: CircuitState,
  conditions: RunningConditions,
  entering_K: number,
  flows: EvaporatorFlows,
): void {
  const { tables } = physics;
  let te = state.evaporating_K;
  const position = gridPosition(te);
  const i = position | 0;
  const f = position - i;
  const { dewPressure_Pa, vapourDensity_kg_m3, latentHeat_J_kg } = tables;
  const pe = dewPressure_Pa[i] + f * (dewPressure_Pa[i + 1] - dewPressure_Pa[i]);
  const density = vapourDensity_kg_m3[i] + f * (vapourDensity_kg_m3[i + 1] - vapourDensity_kg_m3[i]);
  const latent = latentHeat_J_kg[i] + f * (latentHeat_J_kg[i + 1] - latentHeat_J_kg[i]);
  const cp = tables.vapourHeatCapacity[i];

  const valveFlow = throughValve(state.stem_pct, pe, conditions);
  const arriving = arrivingLiquid(state, valveFlow, conditions.transport_s);

  // Wetted zone and compressor.
  const { quality, heatTransfer_W_K, sweep_m3_s } = conditions;
  let liquid = state.liquid_kg;
  const z = liquid / physics.fullLiquid_kg;
  const wetted = z < 1 ? z : 1;
  const boil_W = heatTransfer_W_K * wetted * (0.5 * (entering_K + state.leaving_K) - te);
  const vapourFlow =
    (sweep_m3_s * state.load * density) / (1 + tables.vapourExpansion[i] * state.superheat_K);
  const full = physics.design.evaporator === 'flooded' ? 1.15 : 0.97;
  const carry = z > full ? (z - full) * 6 * physics.nominalFlow_kg_s * state.load : 0;
  const storage = physics.vapourVolume_m3 * tables.vapourDensitySlope[i];
  const heldHeat = liquid * conditions.liquidHeatCapacity + physics.wall_J_K;
  const surplus = valveFlow * quality + boil_W / latent - vapourFlow;
  const slope = -(heatTransfer_W_K * wetted) / latent - vapourFlow * 0.033;
  const change = surplus / (storage + heldHeat / latent - slope);
  te += change;
  const drawn = vapourFlow * (1 + 0.033 * change);
  const boiled = storage * change + drawn - valveFlow * quality;
  liquid += arriving * (1 - quality) - boiled - carry;
  if (liquid < 0) liquid = 0;

  const superheat =
    physics.design.evaporator === 'flooded'
      ? superheatAboveLevel(state, conditions, physics.design.floodedSuperheat_K)
      : superheatAtOutlet(state, conditions, z, entering_K - te);
  const heat_W = boiled * latent + heldHeat * change + drawn * cp * superheat;
  state.leaving_K +=
    (conditions.waterCapacity_W_K * (entering_K - state.leaving_K) - heat_W) / physics.water_J_K;
  state.evaporating_K = te;
  state.liquid_kg = liquid;
  state.superheat_K = superheat;
  flows.valve_kg_s = valveFlow;
  flows.drawn_kg_s = drawn;
  flows.carry_kg_s = carry;
  flows.heat_W = heat_W;
  flows.pressureSlope = tables.dewPressureSlope[i];
}

function throughValve(stem_pct: number, evaporating_Pa: number, conditions: RunningConditions): number {
  let drop = 0.95 * (conditions.condensing_Pa - evaporating_Pa);
  if (drop > conditions.choked_Pa) drop = conditions.choked_Pa;
  if (drop <= 0) return 0;
  let share = characteristic(stem_pct * 0.01);
  if (conditions.secondLag_pct > 0)
    share = 0.5 * (share + characteristic((stem_pct - conditions.secondLag_pct) * 0.01));
  share += conditions.leakBy;
  if (conditions.restriction > 0) share /= Math.sqrt(1 + conditions.restriction * share * share);
  return conditions.flowFactor * share * Math.sqrt(drop);
}

/** Vapour made in the valve is felt at once; liquid arrives after its way through the tubes. */
function arrivingLiquid(state: CircuitState, valveFlow: number, transport_s: number): number {
  const transit = state.inTransit_kg_s;
  const place = state.transitPlace;
  transit[place] = valveFlow;
  state.transitPlace = (place + 1) & 31;
  return transit[(place - transport_s) & 31];
}

/** Superheat of what leaves the dry zone, after the wandering of the dry-out point and the drops that it lets through. */
function superheatAtOutlet(
  state: CircuitState,
  conditions: RunningConditions,
  wetted: number,
  approach_K: number,
): number {
  state.random = nextState(state.random);
  const scaled = state.superheat_K * conditions.inverseWetting;
  const wet = scaled > 3 ? 0 : Math.exp(-scaled * scaled);
  state.dryout =
    state.dryout * conditions.dryoutKeep + conditions.dryoutKick * (1 + 5 * wet) * normalOf(state.random, 8);
  const dry = 1 - wetted - state.dryout;
  const full = dry > 0 && approach_K > 0 ? approach_K * (1 - Math.exp(-conditions.ntu * dry)) : 0;
  const ratioToWetting = full * conditions.inverseWetting;
  return ratioToWetting > 3 ? full : full * (1 - Math.exp(-ratioToWetting * ratioToWetting));
}

/** Vapour over a flooded level leaves nearly saturated: by design a little superheat from the suction line, with some scatter. */
function superheatAboveLevel(state: CircuitState, conditions: RunningConditions, design_K: number): number {
  state.random = nextState(state.random);
  state.dryout = state.dryout * conditions.dryoutKeep + conditions.dryoutKick * normalOf(state.random, 8);
  return Math.max(0, design_K * (0.8 + 0.3 * state.load) + 8 * state.dryout);
}
