/** Pairs of faults, by name, that are put into one unit together, each at medium severity. */
export const faultPairs: readonly [string, string][] = [
  ['gas in the circuit', 'suction thermometer reads wrong'],
  ['refrigerant missing', 'condenser fouled, whole unit'],
  ['condenser fouled, whole unit', 'evaporator flow low'],
  ['loop tuned too hard', 'condenser fouled, whole unit'],
  ['valve sticks', 'refrigerant missing'],
  ['valve offset after lost steps', 'condenser flow low'],
  ['noisy measurement', 'condenser fouled, whole unit'],
  ['compressor weak', 'evaporator fouled'],
  ['too much refrigerant', 'evaporator flow low'],
  ['load swings', 'discharge transducer reads wrong'],
  ['liquid line restricted', 'condenser flow low'],
  ['shut valve leaks by', 'loop tuned too hard'],
];
