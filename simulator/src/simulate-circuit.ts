import {
  emptyCircuitSeries,
  type CircuitEntry,
  type CircuitSeries,
  type UnitEntry,
} from '@coldrounds/core/telemetry';
import { designWithFaults } from './faults/apply.js';
import type { Fault } from './faults/fault.js';
import { advanceUnit } from './physics/advance-unit.js';
import { defaultDesign, physicsOf, type CircuitDesign } from './physics/design.js';
import { atmosphere_Pa, type Climate, type LoadProfile, type StandPlan } from './physics/environment.js';
import { readCircuit, readWater, type Reading, type WaterReading } from './physics/instruments.js';
import { createRandom, seedOf } from './physics/random.js';
import { steadyFloor_K } from './physics/steady-floor.js';
import type { PowerLoss, SetpointPlan, UnitModel } from './physics/unit-model.js';
import { newUnit, step_s } from './physics/unit-state.js';

/** What to simulate. Everything but the seed has a default that describes a healthy water chiller in a mild climate. */
export interface CircuitCase {
  seed: number;
  days?: number;
  /** First time of the series, s since the epoch; a Monday by default. */
  start_s?: number;
  refrigerant?: string;
  /** Capacity of one circuit. */
  capacity_W?: number;
  condenser?: 'air' | 'water';
  circuits?: 1 | 2;
  /** Left out: the size that stands about half open at full load. */
  kv_m3_h?: number;
  setpoint?: SetpointPlan;
  capacityControl?: 'slide' | 'stages';
  design?: Partial<CircuitDesign>;
  climate?: Partial<Climate>;
  load?: Partial<LoadProfile>;
  stand?: StandPlan | null;
  altitude_m?: number;
  gauge?: boolean;
  faults?: Fault[];
  powerLosses?: PowerLoss[];
  /** Share of samples missing at random, and the number of longer gaps (5 to 60 min) per day. */
  missingShare?: number;
  gapsPerDay?: number;
  closeOnStore?: UnitModel['closeOnStore'];
}

export interface CircuitTruth {
  faults: Fault[];
  /** Refrigerant really in the circuit. */
  refrigerant: string;
  /** True superheat at each sample, K: what a perfect instrument would show; 0 while liquid arrives. */
  superheat_K: Float64Array;
  /** Liquid that reached the compressor, kg/s at each sample. */
  liquidCarry_kg_s: Float64Array;
  stem_pct: Float64Array;
  /** The lowest superheat that the circuit holds steadily, over load (shares of full load). */
  floor: { load: number; superheat_K: number }[];
}

export interface SimulatedCircuit {
  /** Values as the store would hold them: absolute pressures after the registry's (possibly wrong) reference. */
  series: CircuitSeries;
  truth: CircuitTruth;
  entry: CircuitEntry;
  unit: UnitEntry;
  /** The unit's other circuits over the same times. */
  neighbours: CircuitSeries[];
}

export const defaultStart_s = Date.UTC(2026, 5, 1) / 1000;

const valveSizes = [0.25, 0.4, 0.63, 1, 1.6, 2.5, 4, 6.3, 10, 16, 25, 40];

/** The smallest size of the series that is at most 70 % open at full load. */
export function fittingSize(given: Parameters<typeof defaultDesign>[0]): number {
  for (const kv_m3_h of valveSizes) {
    if (physicsOf(defaultDesign({ ...given, kv_m3_h })).nominalOpening_pct <= 70) return kv_m3_h;
  }
  return valveSizes[valveSizes.length - 1];
}

const sensor = (minimum: number, maximum: number, tolerance: number) => ({ minimum, maximum, tolerance });

/** A registry entry for a circuit of a design. */
export function entryOf(design: CircuitDesign, number: number, gauge = false): CircuitEntry {
  const high = ['R32', 'R410A', 'R454B'].includes(design.refrigerant);
  const transducer = (span_Pa: number) => ({
    ...sensor(gauge ? -1e5 : 0, span_Pa, 0.005 * span_Pa),
    reference: gauge ? ('gauge' as const) : ('absolute' as const),
  });
  return {
    number,
    valve: {
      size: `kv-${design.kv_m3_h}`,
      kv_m3_h: design.kv_m3_h,
      fullStroke_steps: design.fullStroke_steps,
      rate_steps_s: design.rate_steps_s,
      motors: design.motors,
    },
    suctionPressure: transducer(high ? 30e5 : 16e5),
    dischargePressure: transducer(high ? 50e5 : 30e5),
    suctionTemperature: sensor(223.15, 373.15, 0.3),
    dischargeTemperature: sensor(233.15, 423.15, 1),
    liquidTemperature: sensor(233.15, 373.15, 0.5),
    floodbackLimit_K: 2,
    safetyMargin_K: 1,
  };
}

/** Builds the model of a case. Random scatter between circuits of the same kind comes from the seed. */
export function modelOf(input: CircuitCase): UnitModel {
  const random = createRandom(seedOf(input.seed, 'case'));
  // Two circuits disturb each other where they are of one make: little scatter then.
  const alike = (input.faults ?? []).some((fault) => fault.kind === 'circuits-disturbing') ? 0.25 : 1;
  const spread = (share: number) => 1 + alike * share * (2 * random.uniform() - 1);
  const days = input.days ?? 1;
  const start_s = input.start_s ?? defaultStart_s;
  const refrigerant = input.refrigerant ?? 'R134a';
  const condenser = input.condenser ?? 'water';
  const faults = input.faults ?? [];
  const count = input.circuits ?? (faults.some((fault) => fault.kind === 'circuits-disturbing') ? 2 : 1);
  const capacity_W = input.capacity_W ?? 300_000;
  const given = { refrigerant, capacity_W, condenser };
  const registered: CircuitDesign[] = [];
  const physics = [];
  for (let i = 0; i < count; i++) {
    const kv_m3_h = input.kv_m3_h ?? fittingSize(given);
    const large = faults.find(
      (fault) => fault.kind === 'valve-too-large' && (fault.circuit === undefined || fault.circuit === i + 1),
    );
    const design = defaultDesign({
      ...given,
      kv_m3_h: kv_m3_h * (large?.kind === 'valve-too-large' ? (large.factor ?? 6) : 1),
      liquidHold_s: 20 * spread(0.2),
      transport_s: 14 * spread(0.2),
      sensorLag_s: 16 * spread(0.25),
      wettedShare: 0.8 + 0.02 * (2 * random.uniform() - 1),
      dryoutSpread: 0.016 * spread(0.3),
      wettingBase_K: 1.1 * spread(0.2),
      wettingByLoad_K: 1.2 * spread(0.2),
      proportional_pct_K: 2 * spread(0.2),
      integralTime_s: 80 * spread(0.2),
      ...input.design,
    });
    registered.push(design);
    const builtIn = faults.filter((fault) => fault.kind !== 'valve-too-large');
    physics.push(physicsOf(designWithFaults(design, builtIn, i + 1)));
  }
  const entry: UnitEntry = {
    key: 'unit',
    name: 'Simulated unit',
    refrigerant,
    nominalCapacity_W: capacity_W * count,
    condenser,
    commissionedOn: '2022-01-01',
    controllerFirmware: '1.0.0',
    circuits: registered.map((design, i) => entryOf(design, i + 1, input.gauge)),
    modules: [],
  };
  return {
    site: {
      key: `site-${input.seed}`,
      altitude_m: input.altitude_m ?? 100,
      latitude_deg: 50,
      timeZone: 'UTC',
    },
    entry,
    climate: {
      yearMean_C: 14,
      yearSwing_K: 8,
      daySwing_K: 5,
      weather_K: 2.5,
      wetBulbDepression_K: 5,
      ...input.climate,
    },
    load: {
      base: 0.62,
      occupied: 0.18,
      perTenKelvin: 0.1,
      spread: 0.05,
      from_h: 7,
      to_h: 19,
      weekends: true,
      ...input.load,
    },
    stand: input.stand === null ? undefined : (input.stand ?? { kind: 'daily-rest', from_h: 0, hours: 6 }),
    capacityControl: input.capacityControl ?? 'slide',
    circuits: physics,
    faults,
    setpoints: registered.map((design) => input.setpoint ?? { value_K: design.setpoint_K }),
    powerLosses: input.powerLosses ?? [],
    selfTest_s: 3 * 3600,
    seed: input.seed,
    now_s: start_s + days * 86_400,
    closeOnStore: input.closeOnStore ?? (() => 0),
  };
}

/**
 * Simulates one circuit (with its unit around it) at 1 s and returns its telemetry at 10 s, and the truth.
 *
 * Deterministic by seed. About 0.3 s per circuit and week.
 * @example simulateCircuit({ seed: 1, days: 2, faults: [{ kind: 'valve-friction', stick_pct: 5 }] })
 */
export function simulateCircuit(input: CircuitCase): SimulatedCircuit {
  const model = modelOf(input);
  const days = input.days ?? 1;
  const start_s = input.start_s ?? defaultStart_s;
  const rows = Math.round((days * 86_400) / step_s);
  const all = model.circuits.map(() => emptyCircuitSeries(rows));
  const superheat_K = new Float64Array(rows);
  const liquidCarry_kg_s = new Float64Array(rows);
  const stem_pct = new Float64Array(rows);
  const keep = new Uint8Array(rows).fill(1);
  dropSamples(keep, input);

  // A day before the series settles what depends on the day before.
  const state = newUnit(model, start_s - 86_400);
  while (state.time_s < start_s - step_s) advanceUnit(model, state);
  const reading = {} as Reading;
  const water = {} as WaterReading;
  const air_Pa = atmosphere_Pa(model.site.altitude_m);
  for (let row = 0; row < rows; row++) {
    advanceUnit(model, state);
    if (row === 0 || state.time_s % 60 === 0) readWater(model, state, water);
    for (let i = 0; i < all.length; i++) {
      const entry = model.entry.circuits[i];
      readCircuit(model, state, i, reading);
      const series = all[i];
      series.time_s[row] = state.time_s;
      const lift = (reference: string) => (reference === 'gauge' ? air_Pa : 0);
      series.suctionPressure_Pa[row] = reading.suctionPressure_Pa + lift(entry.suctionPressure.reference);
      series.dischargePressure_Pa[row] =
        reading.dischargePressure_Pa + lift(entry.dischargePressure.reference);
      series.suctionTemperature_K[row] = reading.suctionTemperature_K;
      series.valveOpening_pct[row] = reading.valveOpening_pct;
      series.dischargeTemperature_K[row] = reading.dischargeTemperature_K;
      series.liquidTemperature_K[row] = reading.liquidTemperature_K;
      series.superheatSetpoint_K[row] = reading.superheatSetpoint_K;
      series.compressorLoad_pct[row] = reading.compressorLoad_pct;
      series.enteringWaterTemperature_K[row] = water.enteringTemperature_K;
      series.leavingWaterTemperature_K[row] = water.leavingTemperature_K;
      series.waterFlow_m3_s[row] = water.flow_m3_s;
      series.ambientTemperature_K[row] = water.ambientTemperature_K;
    }
    const first = state.circuits[0];
    superheat_K[row] = first.superheat_K;
    liquidCarry_kg_s[row] = first.liquidCarry_kg_s;
    stem_pct[row] = first.stem_pct;
  }
  const [series, ...neighbours] = all.map((one) => kept(one, keep));
  const pick = (values: Float64Array) => values.filter((_, row) => keep[row] === 1);
  return {
    series,
    neighbours,
    entry: model.entry.circuits[0],
    unit: model.entry,
    truth: {
      faults: model.faults,
      refrigerant: model.circuits[0].design.refrigerant,
      superheat_K: pick(superheat_K),
      liquidCarry_kg_s: pick(liquidCarry_kg_s),
      stem_pct: pick(stem_pct),
      floor: [0.3, 0.5, 0.7, 0.9, 1].map((load) => ({
        load,
        superheat_K: steadyFloor_K(model.circuits[0].design, load),
      })),
    },
  };
}

function dropSamples(keep: Uint8Array, input: CircuitCase): void {
  const random = createRandom(seedOf(input.seed, 'missing'));
  const share = input.missingShare ?? 0;
  if (share > 0) for (let row = 0; row < keep.length; row++) if (random.uniform() < share) keep[row] = 0;
  const gaps = Math.round(((input.gapsPerDay ?? 0) * keep.length * step_s) / 86_400);
  for (let gap = 0; gap < gaps; gap++) {
    const from = Math.floor(random.uniform() * keep.length);
    keep.fill(0, from, from + 30 + Math.floor(random.uniform() * 330));
  }
}

function kept(series: CircuitSeries, keep: Uint8Array): CircuitSeries {
  const result = {} as Record<string, Float64Array>;
  for (const [name, values] of Object.entries(series) as [string, Float64Array][]) {
    result[name] = values.filter((_, row) => keep[row] === 1);
  }
  return result as unknown as CircuitSeries;
}
