import type { CircuitEntry, circuitSeriesColumns, UnitEntry } from '@coldrounds/core/telemetry';
import { designWithFaults } from './faults/apply.js';
import type { Fault } from './faults/fault.js';
import { defaultDesign, physicsOf, type CircuitDesign } from './physics/circuit/design.js';
import type { SendingHabits } from './gateway/sending.js';
import type { Climate, LoadProfile, StandPlan } from './physics/unit/environment.js';
import type { OperatingHabits } from './physics/unit/operating-habits.js';
import { createRandom, seedOf } from './physics/random.js';
import type { ChilledWater, PowerLoss, SetpointPlan, UnitModel } from './physics/unit/unit-model.js';

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
  /** Reversing, defrost, pump-down, cycling; left out: plain cooling. */
  habits?: OperatingHabits;
  chilledWater?: ChilledWater;
  /** How the gateway sends; left out: every value at 10 s as the sensor gives it. */
  sending?: SendingHabits;
  /** False: no module and so no daily stop for a self-test. */
  selfTest?: boolean;
  altitude_m?: number;
  gauge?: boolean;
  faults?: Fault[];
  powerLosses?: PowerLoss[];
  /** Share of samples missing at random, and the number of longer gaps (5 to 60 min) per day. */
  missingFraction?: number;
  gapsPerDay?: number;
  closeOnStore?: UnitModel['closeOnStore'];
  /** Columns that the site does not have; left out: every value is there. */
  notSent?: (typeof circuitSeriesColumns)[number][];
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

/** Faults that need a second circuit. */
const ofPairs: readonly Fault['kind'][] = ['circuits-disturbing', 'sensors-swapped-between-circuits'];

/** Builds the model of a case. Random scatter between circuits of the same kind comes from the seed. */
export function modelOf(input: CircuitCase): UnitModel {
  const days = input.days ?? 1;
  const start_s = input.start_s ?? defaultStart_s;
  const refrigerant = input.refrigerant ?? 'R134a';
  const condenser = input.condenser ?? 'water';
  const faults = input.faults ?? [];
  const count = input.circuits ?? (faults.some(({ kind }) => ofPairs.includes(kind)) ? 2 : 1);
  const capacity_W = input.capacity_W ?? 300_000;
  const registered = designsOf(input, { refrigerant, capacity_W, condenser }, count);
  const builtIn = faults.filter((fault) => fault.kind !== 'valve-too-large');
  const entry: UnitEntry = {
    key: 'unit',
    name: 'Simulated unit',
    refrigerant,
    nominalCapacity_W: capacity_W * count,
    condenser,
    evaporator: registered[0].evaporator,
    reversible: input.habits?.reversed !== undefined,
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
    climate: { ...mildClimate, ...input.climate },
    load: { ...officeLoad, ...input.load },
    stand: input.stand === null ? undefined : (input.stand ?? { kind: 'daily-rest', from_h: 0, hours: 6 }),
    capacityControl: input.capacityControl ?? 'slide',
    circuits: registered.map((design, i) => physicsOf(designWithFaults(design, builtIn, i + 1))),
    faults,
    setpoints: registered.map((design) => input.setpoint ?? { value_K: design.setpoint_K }),
    powerLosses: input.powerLosses ?? [],
    selfTest_s: input.selfTest === false ? null : 3 * 3600,
    habits: input.habits,
    chilledWater: input.chilledWater,
    seed: input.seed,
    now_s: start_s + days * 86_400,
    closeOnStore: input.closeOnStore ?? (() => 0),
  };
}

const mildClimate: Climate = {
  yearMean_C: 14,
  yearSwing_K: 8,
  daySwing_K: 5,
  weather_K: 2.5,
  wetBulbDepression_K: 5,
};

const officeLoad: LoadProfile = {
  base: 0.62,
  occupied: 0.18,
  perTenKelvin: 0.1,
  spread: 0.05,
  from_h: 7,
  to_h: 19,
  weekends: true,
};

/** The designs of a unit's circuits as registered, each with its own scatter of make. */
function designsOf(
  input: CircuitCase,
  given: Pick<CircuitDesign, 'refrigerant' | 'capacity_W' | 'condenser'>,
  count: number,
): CircuitDesign[] {
  const random = createRandom(seedOf(input.seed, 'case'));
  const faults = input.faults ?? [];
  // Two circuits disturb each other where they are of one make: little scatter then.
  const alike = faults.some((fault) => fault.kind === 'circuits-disturbing') ? 0.25 : 1;
  const spread = (fraction: number) => 1 + alike * fraction * (2 * random.uniform() - 1);
  return Array.from({ length: count }, (_, i) => {
    const kv_m3_h = input.kv_m3_h ?? fittingSize({ ...given, motors: input.design?.motors ?? 1 });
    const large = faults.find(
      (fault) => fault.kind === 'valve-too-large' && (fault.circuit === undefined || fault.circuit === i + 1),
    );
    return defaultDesign({
      ...given,
      kv_m3_h: kv_m3_h * (large?.kind === 'valve-too-large' ? (large.factor ?? 6) : 1),
      liquidHold_s: 20 * spread(0.2),
      transport_s: 14 * spread(0.2),
      sensorLag_s: 16 * spread(0.25),
      wettedFraction: 0.8 + 0.02 * (2 * random.uniform() - 1),
      dryoutSpread: 0.016 * spread(0.3),
      wettingBase_K: 1.1 * spread(0.2),
      wettingByLoad_K: 1.2 * spread(0.2),
      proportional_pct_K: 2 * spread(0.2),
      integralTime_s: 80 * spread(0.2),
      ...input.design,
    });
  });
}
