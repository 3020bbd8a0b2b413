export { simulateCircuit, type CircuitTruth, type SimulatedCircuit } from './simulate-circuit.js';
export { simulateLoadSteps, type LoadSteps } from './simulate-load-steps.js';
export { modelOf, fittingSize, entryOf, defaultStart_s, type CircuitCase } from './circuit-case.js';
export type { Fault, FaultKind, SensorName } from './faults/fault.js';
export { faultLevels, severities, type FaultLevels, type Severity } from './faults/levels.js';
export type { SetpointPlan, PowerLoss } from './physics/unit/unit-model.js';
export type { CircuitDesign } from './physics/circuit/design.js';
export {
  simulateModule,
  moduleModelOf,
  dischargeAtCurrent,
  datesUnder,
  type ModuleCase,
  type ModuleTruth,
  type SimulatedModule,
} from './simulate-module.js';
export type { ModuleFault } from './faults/module-fault.js';
export {
  createAgeing,
  fullClosing,
  type Closing,
  type BackupReading,
  type ModuleModel,
} from './physics/module/module.js';
export { atTemperature, deliverable_J } from './physics/module/capacitor.js';
export { createSender, type SendingHabits, type ValueKind } from './gateway/sending.js';
export type { OperatingHabits } from './physics/unit/operating-habits.js';
