export {
  simulateCircuit,
  modelOf,
  fittingSize,
  entryOf,
  defaultStart_s,
  type CircuitCase,
  type CircuitTruth,
  type SimulatedCircuit,
} from './simulate-circuit.js';
export type { Fault, FaultKind, SensorName } from './faults/fault.js';
export type { SetpointPlan, PowerLoss } from './physics/unit.js';
export type { CircuitDesign } from './physics/design.js';
export {
  simulateModule,
  dischargeAtCurrent,
  datesUnder,
  type ModuleCase,
  type ModuleTruth,
  type SimulatedModule,
} from './simulate-module.js';
export type { ModuleFault } from './faults/module-fault.js';
export type { Closing, BackupReading } from './physics/module.js';
