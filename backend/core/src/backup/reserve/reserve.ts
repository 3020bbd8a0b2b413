import type { ModuleEntry } from '../../telemetry/index.js';
import type { ClosingDemand } from '../closing/index.js';
import type { NormalisedTests } from '../ageing/index.js';
import { backupRuntime } from './runtime.js';

/** Usable energy over the energy of one closing; 0 where the source cannot even start the motors. */
export function reserveOf(
  module: ModuleEntry,
  demand: ClosingDemand,
  capacitance_F: number,
  esr_Ohm: number,
  voltage_V: number,
): { reserve: number; usable_J: number } {
  const usable_J = backupRuntime(
    { capacitance_F, esr_Ohm, voltage_V, minimumVoltage_V: module.minimumVoltage_V },
    demand.peakPower_W,
  ).energy_J;
  return { reserve: usable_J / demand.energy_J, usable_J };
}

/** Of every test, in their order. */
export interface TestReserves {
  reserve: Float64Array;
  capacitance_F: Float64Array;
  esr_Ohm: Float64Array;
}

/** Reserve of every test as if at one temperature, one charged voltage and from fully open. */
export function reservesOfTests(
  tests: NormalisedTests,
  module: ModuleEntry,
  demand: ClosingDemand,
  voltage_V: number,
  at_K: number,
): TestReserves {
  const n = tests.tests.length;
  const esr = tests.esrLaw?.smooth(at_K);
  const capacitance_F = new Float64Array(n);
  const esr_Ohm = new Float64Array(n);
  const reserve = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    capacitance_F[i] = Math.exp(
      tests.lnCapacitance[i]! - tests.capacitanceLaw.perK * (tests.temperature_K[i]! - at_K),
    );
    esr_Ohm[i] = esr ? Math.exp(esr[i]!) : ratedEsrAt(module, tests, at_K);
    reserve[i] = reserveOf(module, demand, capacitance_F[i]!, esr_Ohm[i]!, voltage_V).reserve;
  }
  return { reserve, capacitance_F, esr_Ohm };
}

/** Rated ESR carried to a temperature by the law: used where no test was sampled finely enough. */
function ratedEsrAt(module: ModuleEntry, tests: NormalisedTests, at_K: number): number {
  return module.ratedEsr_Ohm * Math.exp(tests.law.esrPerK * (at_K - 298.15));
}
