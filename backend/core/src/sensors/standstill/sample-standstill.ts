import { saturationPressure } from '../../refrigerants/index.js';
import type { SettledStandstill } from './standstill.js';

/** Temperature of the room in which the sample stands, K. */
export const room_K = 293.15;

/** Half an hour of a circuit that has stood for two hours in a room of 20 C, every instrument right, with what differs. */
export const standingCircuit = (
  changed: Partial<SettledStandstill> = {},
  refrigerant = 'R134a',
): SettledStandstill => ({
  from_s: 0,
  to_s: 1800,
  stoodFor_s: 7200,
  pumpRunning: false,
  suctionPressure_Pa: saturationPressure(refrigerant, room_K, 'dew'),
  dischargePressure_Pa: saturationPressure(refrigerant, room_K, 'dew'),
  suctionTemperature_K: room_K,
  dischargeTemperature_K: room_K,
  liquidTemperature_K: room_K,
  enteringWaterTemperature_K: room_K,
  leavingWaterTemperature_K: room_K,
  ambientTemperature_K: room_K,
  drift_K_h: 0,
  ...changed,
});
