import {
  evaporatorOf,
  installedAt_s,
  type Registry,
  type SiteEntry,
  type UnitEntry,
} from '@coldrounds/core/telemetry';
import { designWithFaults } from './faults/apply.js';
import type { Fault } from './faults/fault.js';
import type { ModuleFault } from './faults/module-fault.js';
import { defaultDesign, physicsOf, type CircuitDesign } from './physics/circuit/design.js';
import { zoneOffset_s, type Climate, type LoadProfile, type StandPlan } from './physics/unit/environment.js';
import type { SendingHabits } from './gateway/sending.js';
import type { OperatingHabits } from './physics/unit/operating-habits.js';
import { enclosureTemperature, type ModuleModel } from './physics/module/module.js';
import { createRandom, seedOf } from './physics/random.js';
import type { SetpointPlan, UnitModel } from './physics/unit/unit-model.js';

/** What only the simulator knows of the demo fleet: shape of `seeds/scenario.json`. */
export interface Scenario {
  about: string;
  climates: Record<string, Climate>;
  loads: Record<string, LoadProfile>;
  /** Under `site/unit`. */
  units: Record<string, UnitScenario>;
  gateway: GatewayScenario;
}

export interface UnitScenario {
  capacityControl: 'slide' | 'stages';
  stand?: StandPlan;
  /** Reversing, defrost, pump-down, cycling; left out: plain cooling. */
  habits?: OperatingHabits;
  /** How its gateway sends; left out: every value at 10 s. */
  sending?: SendingHabits;
  /** Local hour of the daily self-test. */
  selfTest_h: number;
  design?: Partial<CircuitDesign>;
  setpoints?: Record<string, SetpointPlan>;
  faults?: Fault[];
  /** On the site's calendar, so that a loss falls into the hours meant for it. */
  powerLosses?: { daysAgo: number; atHour: number; minutes: number }[];
  modules?: Record<string, { life_years?: number; usedLifeAtStart?: number; mean_K?: number }>;
  moduleFaults?: ModuleFault[];
}

export interface GatewayScenario {
  duplicateFraction: number;
  lateFraction: number;
  missingFraction: number;
  gapsPerDay: number;
  /** A gateway without memory: what it did not send is lost. No `hours`: it stays silent. */
  silences: { unit: string; fromDaysAgo: number; hours?: number }[];
  /** A gateway with memory: connection lost for a while after the start, backlog afterwards. */
  liveOutages: { unit: string; afterMinutes: number; minutes: number }[];
  /** Messages that no receiver can read, as faulty gateways send them. */
  unreadable: UnreadableMessage[];
}

export interface UnreadableMessage {
  unit: string;
  /** Below the unit's topic, e.g. `circuits/1`. */
  stream: string;
  /** A wrong unit, a value beyond the sensor, or JSON that breaks off. */
  kind: 'wrong-unit' | 'out-of-range' | 'broken-off';
  daysAgo: number;
}

export interface FleetUnit {
  name: string;
  site: SiteEntry;
  model: UnitModel;
  modules: ModuleModel[];
  sending: SendingHabits | undefined;
  /** Its gateway fell silent before the start and stays so. */
  silent: boolean;
}

export const historyOfTests_days = 400;

/** Models of all units of a registry. Times of the script count from `now_s`. */
export function buildFleet(registry: Registry, scenario: Scenario, seed: number, now_s: number): FleetUnit[] {
  return registry.sites.flatMap((site) =>
    site.units.map((entry) => {
      const name = `${site.key}/${entry.key}`;
      const own = scenario.units[name];
      if (!own) throw new Error(`the scenario has no unit "${name}"`);
      const model = unitModel(site, entry, scenario, own, seedOf(seed, name), now_s);
      const silent = scenario.gateway.silences.some(
        (silence) => silence.unit === name && silence.hours === undefined,
      );
      const modules = moduleModels(site, entry, scenario, own, seedOf(seed, name), now_s);
      return { name, site, model, modules, sending: own.sending, silent };
    }),
  );
}

function unitModel(
  site: SiteEntry,
  entry: UnitEntry,
  scenario: Scenario,
  own: UnitScenario,
  seed: number,
  now_s: number,
): UnitModel {
  const faults = own.faults ?? [];
  const circuits = entry.circuits.map((circuit) => {
    const random = createRandom(seedOf(seed, 'make', circuit.number));
    const alike = faults.some((fault) => fault.kind === 'circuits-disturbing') ? 0.25 : 1;
    const spread = (share: number) => 1 + alike * share * (2 * random.uniform() - 1);
    const design = defaultDesign({
      refrigerant: entry.refrigerant,
      capacity_W: entry.nominalCapacity_W / entry.circuits.length,
      condenser: entry.condenser,
      evaporator: evaporatorOf(entry) === 'dry-expansion' ? 'dry-expansion' : 'flooded',
      kv_m3_h: circuit.valve.kv_m3_h,
      motors: circuit.valve.motors,
      fullStroke_steps: circuit.valve.fullStroke_steps,
      rate_steps_s: circuit.valve.rate_steps_s,
      setpoint_K: Math.round(10 * (6 + 0.7 * (2 * random.uniform() - 1))) / 10,
      liquidHold_s: 20 * spread(0.15),
      transport_s: 14 * spread(0.15),
      sensorLag_s: 16 * spread(0.2),
      dryoutSpread: 0.015 * spread(0.3),
      wettingBase_K: 1.1 * spread(0.15),
      wettingByLoad_K: 1.15 * spread(0.15),
      proportional_pct_K: 1.7 * spread(0.15),
      integralTime_s: 85 * spread(0.15),
      ...own.design,
    });
    return physicsOf(designWithFaults(design, faults, circuit.number));
  });
  return {
    site,
    entry,
    climate: scenario.climates[site.key],
    load: scenario.loads[site.key],
    stand: own.stand,
    capacityControl: own.capacityControl,
    habits: own.habits,
    circuits,
    faults,
    setpoints: entry.circuits.map(
      (circuit, i) =>
        own.setpoints?.[String(circuit.number)] ?? {
          value_K: Math.round(circuits[i].design.setpoint_K * 2) / 2,
        },
    ),
    powerLosses: (own.powerLosses ?? []).map(({ daysAgo, atHour, minutes }) => {
      const offset_s = zoneOffset_s(site.timeZone, now_s);
      const today_s = Math.floor((now_s + offset_s) / 86_400) * 86_400 - offset_s;
      const start_s = today_s - daysAgo * 86_400 + Math.round(atHour * 360) * 10;
      return { start_s, end_s: start_s + minutes * 60 };
    }),
    selfTest_s: Math.round(own.selfTest_h * 360) * 10,
    seed,
    now_s,
  };
}

function moduleModels(
  site: SiteEntry,
  entry: UnitEntry,
  scenario: Scenario,
  own: UnitScenario,
  seed: number,
  now_s: number,
): ModuleModel[] {
  const climate = scenario.climates[site.key];
  const indoors = entry.condenser === 'water';
  return entry.modules.map((module) => {
    const random = createRandom(seedOf(seed, 'module', module.number));
    const given = own.modules?.[String(module.number)];
    const mean_C = indoors ? 24 + 0.15 * (climate.yearMean_C - 18) : climate.yearMean_C;
    const start_s = now_s - historyOfTests_days * 86_400;
    const installed_s = installedAt_s(module);
    const life_years = given?.life_years ?? 15 * (1 + 0.15 * (2 * random.uniform() - 1));
    const mean_K = given?.mean_K ?? 273.15 + mean_C + 8;
    const before_years = Math.max(0, start_s - installed_s) / 31_557_600;
    return {
      entry: module,
      valves: module.circuits.map((number) => {
        const valve = entry.circuits.find((circuit) => circuit.number === number)?.valve;
        if (!valve)
          throw new Error(
            `module ${module.number} of ${entry.key} names circuit ${number}, which is not there`,
          );
        return {
          fullStroke_steps: valve.fullStroke_steps,
          rate_steps_s: valve.rate_steps_s,
          motors: valve.motors,
        };
      }),
      fresh: {
        capacitance_F: module.ratedCapacitance_F * (1 + 0.03 * (2 * random.uniform() - 1)),
        esr_Ohm: module.ratedEsr_Ohm * (1 + 0.08 * (2 * random.uniform() - 1)),
      },
      ageing: { life_s: life_years * 31_557_600, reference_K: 308.15 },
      usedLifeAtStart:
        given?.usedLifeAtStart ?? (before_years / life_years) * Math.pow(2, (mean_K - 308.15) / 10),
      start_s,
      temperatureAt: enclosureTemperature(
        {
          mean_K,
          yearSwing_K: climate.yearSwing_K * (indoors ? 0.3 : 1),
          daySwing_K: climate.daySwing_K * (indoors ? 0.15 : 0.6),
          warmestDay: site.latitude_deg >= 0 ? 200 : 17,
        },
        seedOf(seed, 'enclosure', module.number),
      ),
      faults: (own.moduleFaults ?? []).filter(
        (fault) => fault.module === undefined || fault.module === module.number,
      ),
      chargeVoltage_V: module.ratedVoltage_V,
      seed: seedOf(seed, 'module', module.number),
      now_s,
    };
  });
}
