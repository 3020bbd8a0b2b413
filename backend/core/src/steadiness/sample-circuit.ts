import type { CircuitEntry } from '../telemetry/registry.js';

const sensor = { minimum: 200, maximum: 400, tolerance: 0.3 };
const transducer = { minimum: 0, maximum: 1.6e6, tolerance: 8000, reference: 'absolute' as const };

/** A plain circuit for the unit tests of windows, findings and hunting; every figure is invented. */
export const circuit: CircuitEntry = {
  number: 1,
  valve: { size: 'kv-10', kv_m3_h: 10, fullStroke_steps: 3800, rate_steps_s: 630, motors: 1 },
  suctionPressure: transducer,
  dischargePressure: transducer,
  suctionTemperature: sensor,
  dischargeTemperature: sensor,
  liquidTemperature: sensor,
  floodbackLimit_K: 2,
  safetyMargin_K: 1,
};
