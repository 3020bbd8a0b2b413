import { pressureUnit, writtenUnits, type Convert } from '../log/written-units.js';
import type { MetricGate } from '../telemetry/index.js';

/** What a point's unit leads to: the contract's unit, gauge pressures as they are read. */
type Kind = keyof typeof writtenUnits | 'voltage' | 'current' | 'switch';

const same: Convert = (value) => value;
const table: Record<Kind, Record<string, Convert>> = {
  ...writtenUnits,
  voltage: { v: same, mv: (value) => value / 1000 },
  current: { a: same, ma: (value) => value / 1000 },
  switch: { 'on/off': same, 'off/on': (value) => 1 - value },
};

/** Units as a person chooses them, the usual one first. */
const offered: Record<Kind, readonly string[]> = {
  pressure: ['kPa', 'bar', 'psi', 'Pa', 'MPa', 'mbar', 'kgf/cm2'],
  temperature: ['°C', '°F', 'K'],
  'temperature-difference': ['K', '°F'],
  percent: ['%', 'share'],
  flow: ['m3/h', 'm3/s', 'L/s', 'L/min', 'gpm'],
  power: ['kW', 'W', 'hp'],
  voltage: ['V', 'mV'],
  current: ['A', 'mA'],
  switch: ['on/off', 'off/on'],
};

export type GateUnit = Pick<MetricGate, 'difference'> & { metric: Pick<MetricGate['metric'], 'unit'> };

function kindOf({ metric, difference }: GateUnit): Kind {
  switch (metric.unit) {
    case 'Pa':
      return 'pressure';
    case 'K':
      return difference ? 'temperature-difference' : 'temperature';
    case '%':
      return 'percent';
    case 'm3/s':
      return 'flow';
    case 'W':
      return 'power';
    case 'V':
      return 'voltage';
    case 'A':
      return 'current';
    case 'bool':
      return 'switch';
  }
}

/** Units that a quantity can be sent in. */
export const unitsOf = (gate: GateUnit): readonly string[] => offered[kindOf(gate)];

/** Lower case without blanks, degree signs and what tells gauge from absolute, which the registry says of the transducer. */
function tidy(written: string, kind: Kind): string {
  const plain = written
    .normalize('NFKC')
    .toLowerCase()
    .replace(/\s+/g, '')
    .replace(/^(?:°|deg(?:rees)?\.?)/, '')
    .replace('^', '');
  return kind === 'pressure' ? (pressureUnit(plain)?.unit ?? plain) : plain;
}

/**
 * How a number in a unit, however it is written, becomes the contract's; null where the unit does not belong to the quantity.
 *
 * @example pointConversion('degF', gate)?.(32) // 273.15 for a temperature
 */
export function pointConversion(written: string, gate: GateUnit): Convert | null {
  const kind = kindOf(gate);
  const units = table[kind];
  const exact = written.toLowerCase();
  const key = Object.hasOwn(units, exact) ? exact : tidy(written, kind);
  return Object.hasOwn(units, key) ? units[key] : null;
}

/** The unit of a list of offered ones that something written means; null: none. */
export function offeredUnit(written: string, gate: GateUnit): string | null {
  const convert = pointConversion(written, gate);
  if (convert === null) return null;
  return unitsOf(gate).find((unit) => pointConversion(unit, gate)?.(7) === convert(7)) ?? null;
}
