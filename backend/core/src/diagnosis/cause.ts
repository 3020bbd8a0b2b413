/**
 * What can be wrong with a unit, in words that stay the same: results, decisions and scores refer to them; screens say
 * them as sentences. `valve-offset` is a valve that opens less than it says after lost steps; `gas-in-circuit` is
 * non-condensable gas.
 */
export const causes = [
  'loop-tuned-too-hard',
  'valve-too-large',
  'valve-too-small',
  'valve-friction',
  'valve-offset',
  'valve-leaks-by',
  'tandem-mismatch',
  'load-swings',
  'circuits-disturb-each-other',
  'setpoint-under-steady-floor',
  'setpoint-too-high',
  'measurement-noise',
  'missing-refrigerant',
  'excess-refrigerant',
  'gas-in-circuit',
  'condenser-fouled',
  'condenser-flow-low',
  'evaporator-fouled',
  'evaporator-flow-low',
  'liquid-line-restricted',
  'compressor-weak',
  'sensor-wrong',
  'sensors-swapped',
  'registry-wrong',
  'capacitor-worn',
  'capacitor-cell-weak',
  'charger-weak',
  'module-leaks',
  'module-unproven',
  'something-else',
] as const;
export type Cause = (typeof causes)[number];
