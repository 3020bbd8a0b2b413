export { assessSensors, type SensorAssessment, type SensorInput } from './assess-sensors.js';
export {
  thermalConsensus,
  type Consensus,
  type Deviation,
  type SensorName,
} from './standstill/thermal-consensus.js';
export { settledStandstills, type SettledStandstill } from './standstill/standstill.js';
