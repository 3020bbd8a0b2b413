/**
 * Units of the SenML registry that the contract's quantities can come in, and their conversion to SI:
 * RFC 8428 section 12.1 (primary units) and RFC 8798 section 3 (secondary units, value = scale * sent + offset).
 *
 * One deliberate reading: RFC 8428 keeps `%` "for historical reasons" as another name of the ratio `/` and marks it NOT
 * RECOMMENDED; RFC 8798 calls it counterintuitive and names percent `/100`. Gateways send percent as `%` all the same,
 * and 45 cannot be a ratio of valve opening. In this contract `%` is percent; a ratio is sent as `/`.
 */
export interface UnitConversion {
  /** The contract's unit that it leads to. */
  to: 'Pa' | 'K' | '%' | 'm3/s' | 'W' | 'V' | 'A' | 's' | 'bool';
  scale: number;
  offset: number;
}

const conversions = new Map<string, UnitConversion>([
  ['Pa', { to: 'Pa', scale: 1, offset: 0 }],
  ['hPa', { to: 'Pa', scale: 100, offset: 0 }],
  ['K', { to: 'K', scale: 1, offset: 0 }],
  ['Cel', { to: 'K', scale: 1, offset: 273.15 }],
  ['%', { to: '%', scale: 1, offset: 0 }],
  ['/100', { to: '%', scale: 1, offset: 0 }],
  ['/1000', { to: '%', scale: 0.1, offset: 0 }],
  ['/', { to: '%', scale: 100, offset: 0 }],
  ['m3/s', { to: 'm3/s', scale: 1, offset: 0 }],
  ['l/s', { to: 'm3/s', scale: 1e-3, offset: 0 }],
  ['W', { to: 'W', scale: 1, offset: 0 }],
  ['kW', { to: 'W', scale: 1e3, offset: 0 }],
  ['V', { to: 'V', scale: 1, offset: 0 }],
  ['mV', { to: 'V', scale: 1e-3, offset: 0 }],
  ['A', { to: 'A', scale: 1, offset: 0 }],
  ['mA', { to: 'A', scale: 1e-3, offset: 0 }],
  ['s', { to: 's', scale: 1, offset: 0 }],
  ['ms', { to: 's', scale: 1e-3, offset: 0 }],
  ['min', { to: 's', scale: 60, offset: 0 }],
  ['h', { to: 's', scale: 3600, offset: 0 }],
]);

/**
 * How a value sent in `sent` becomes the contract's `wanted` unit; null where it cannot.
 *
 * @param difference The quantity is a difference of temperatures, to which Celsius's zero must not be added.
 * @example conversionOf('Cel', 'K') // { to: 'K', scale: 1, offset: 273.15 }
 */
export function conversionOf(
  sent: string | null,
  wanted: UnitConversion['to'],
  difference = false,
): UnitConversion | null {
  // A switch is a ratio of 0 or 1 by the registry; a bare number is taken as well.
  if (wanted === 'bool') return sent === null || sent === '/' ? { to: 'bool', scale: 1, offset: 0 } : null;
  const conversion = sent === null ? undefined : conversions.get(sent);
  if (conversion?.to !== wanted) return null;
  return difference && conversion.offset !== 0 ? null : conversion;
}

/** The registry's signs for a quantity of the contract, for messages. */
export function acceptedUnits(wanted: UnitConversion['to'], difference = false): string[] {
  return [...conversions.keys()].filter((sent) => conversionOf(sent, wanted, difference) !== null);
}
