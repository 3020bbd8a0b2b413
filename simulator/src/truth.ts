import type { Fault } from './faults/fault.js';
import type { ModuleFault } from './faults/module-fault.js';
import { closingReserve, createAgeing, floatState } from './physics/module/module.js';
import { steadyFloor_K } from './physics/circuit/steady-floor.js';
import type { FleetUnit } from './scenario.js';
import { datesUnder } from './simulate-module.js';

/** What is true of the simulated fleet, for tests; the server never sees it. */
export interface FleetTruth {
  now_s: number;
  seed: number;
  units: UnitTruth[];
}

export interface UnitTruth {
  unit: string;
  powerLosses: { start_s: number; end_s: number }[];
  circuits: {
    number: number;
    refrigerant: string;
    faults: Fault[];
    floor: { load: number; superheat_K: number }[];
  }[];
  modules: {
    number: number;
    faults: ModuleFault[];
    capacitance_F: number;
    esr_Ohm: number;
    reserve: number;
    under1_5_s: number | null;
    under1_0_s: number | null;
  }[];
}

export function fleetTruth(fleet: readonly FleetUnit[], seed: number, now_s: number): FleetTruth {
  return {
    now_s,
    seed,
    units: fleet.map(({ name, model, modules }) => ({
      unit: name,
      powerLosses: model.powerLosses,
      circuits: model.entry.circuits.map(({ number }, i) => ({
        number,
        refrigerant: model.circuits[i].design.refrigerant,
        faults: model.faults.filter((fault) => fault.circuit === undefined || fault.circuit === number),
        floor: [0.3, 0.5, 0.7, 0.9, 1].map((load) => ({
          load,
          superheat_K: steadyFloor_K(model.circuits[i].design, load),
        })),
      })),
      modules: modules.map((module) => {
        const cell = createAgeing(module)(now_s);
        return {
          number: module.entry.number,
          faults: module.faults,
          ...cell,
          reserve: closingReserve(module, cell, floatState(module, now_s).voltage_V),
          ...datesUnder(module),
        };
      }),
    })),
  };
}
