export { assessSensors, type SensorAssessment, type SensorInput } from './assess-sensors.js';
export { thermalConsensus, type Consensus, type Deviation, type SensorName } from './thermal-consensus.js';
export { settledStandstills, type SettledStandstill } from './standstill.js';
