import type { Question, QuantityName, Subject } from '../../../api/study.js';
import { decimals, roundCount, show } from '../../../quantities/format-quantity.js';
import {
  measuresOf,
  scaleOf,
  wattPerTon,
  type Scale,
  type UnitSystem,
} from '../../../quantities/unit-system.js';

type Kind =
  | 'temperature'
  | 'temperature-difference'
  | 'share'
  | 'percent'
  | 'count'
  | 'years'
  | 'hours'
  | 'seconds'
  | 'capacity'
  | 'flow-coefficient'
  | 'ratio';

interface QuantityWords {
  words: string;
  kind: Kind;
}

/** What can be asked, in words, and how its numbers are shown. */
export const quantityWords: Record<QuantityName, QuantityWords> = {
  superheatMean_K: { words: 'superheat, mean', kind: 'temperature-difference' },
  superheatSpread_K: { words: 'spread of superheat', kind: 'temperature-difference' },
  superheatSetpoint_K: { words: 'superheat setpoint', kind: 'temperature-difference' },
  setpointOffset_K: { words: 'superheat less setpoint', kind: 'temperature-difference' },
  headroom_K: { words: 'superheat that could be lower, now', kind: 'temperature-difference' },
  floodbackFraction: { words: 'time under the floodback limit', kind: 'share' },
  starvedFraction: { words: 'time starved', kind: 'share' },
  huntingFraction: { words: 'time hunting', kind: 'share' },
  valveTravel_strokes_day: { words: 'valve travel, full strokes a day', kind: 'count' },
  valveReversals_day: { words: 'valve reversals a day', kind: 'count' },
  life_fraction_year: { words: 'rated life of the valve used in a year', kind: 'share' },
  travelLife_fraction_year: { words: 'rated travel of the valve used in a year', kind: 'share' },
  reversalLife_fraction_year: { words: 'rated reversals of the valve used in a year', kind: 'share' },
  lifeLeft_years: { words: 'rated life of the valve left at this pace', kind: 'years' },
  running_h_day: { words: 'running, hours a day', kind: 'hours' },
  compressorLoad_pct: { words: 'compressor load', kind: 'percent' },
  evaporatingTemperature_K: { words: 'evaporating temperature', kind: 'temperature' },
  condensingTemperature_K: { words: 'condensing temperature', kind: 'temperature' },
  subcooling_K: { words: 'subcooling', kind: 'temperature-difference' },
  ambientTemperature_K: { words: 'ambient temperature', kind: 'temperature' },
  age_years: { words: 'age of the unit', kind: 'years' },
  capacity_W: { words: 'nominal capacity', kind: 'capacity' },
  kv_m3_h: { words: 'flow coefficient of the valve', kind: 'flow-coefficient' },
  capacitance_fraction: { words: 'capacitance, of new', kind: 'share' },
  esr_fraction: { words: 'ESR, of new', kind: 'share' },
  capacitanceLoss_fraction_year: { words: 'capacitance lost in a year, of new', kind: 'share' },
  moduleTemperature_K: { words: 'mean temperature of the module', kind: 'temperature' },
  moduleAge_years: { words: 'age of the module', kind: 'years' },
  closingReserve: { words: 'closing reserve, now', kind: 'ratio' },
  closingTime_s: { words: 'closing time from fully open, now', kind: 'seconds' },
  wrong_fraction: { words: 'days on which the sensor was found wrong', kind: 'share' },
};

const circuitNames: QuantityName[] = [
  'superheatMean_K',
  'superheatSpread_K',
  'superheatSetpoint_K',
  'setpointOffset_K',
  'headroom_K',
  'floodbackFraction',
  'starvedFraction',
  'huntingFraction',
  'valveTravel_strokes_day',
  'valveReversals_day',
  'life_fraction_year',
  'travelLife_fraction_year',
  'reversalLife_fraction_year',
  'lifeLeft_years',
  'running_h_day',
  'compressorLoad_pct',
  'evaporatingTemperature_K',
  'condensingTemperature_K',
  'subcooling_K',
  'ambientTemperature_K',
  'age_years',
  'capacity_W',
  'kv_m3_h',
];

export const quantitiesOf: Record<Subject, readonly QuantityName[]> = {
  circuits: circuitNames,
  modules: [
    'capacitance_fraction',
    'esr_fraction',
    'capacitanceLoss_fraction_year',
    'moduleTemperature_K',
    'moduleAge_years',
    'closingReserve',
    'closingTime_s',
  ],
  sensors: ['wrong_fraction'],
};

/** Known as of now only: they have no course over time. */
const ofNow: ReadonlySet<QuantityName> = new Set([
  'headroom_K',
  'age_years',
  'capacity_W',
  'kv_m3_h',
  'lifeLeft_years',
  'closingReserve',
  'closingTime_s',
]);
export const hasCourse = (name: QuantityName): boolean => !ofNow.has(name);

/** What a change can move within months; the pace of a module is told since it was new. */
export const canBeMoved = (name: QuantityName): boolean =>
  hasCourse(name) && name !== 'capacitanceLoss_fraction_year' && name !== 'moduleAge_years';

/** From the stored number to the one that is drawn, with its unit. */
export function scaleFor(name: QuantityName, system: UnitSystem): Scale {
  const same = (unit: string): Scale => ({ unit, convert: (value) => value });
  switch (quantityWords[name].kind) {
    case 'temperature':
      return scaleOf('temperature', system);
    case 'temperature-difference':
      return scaleOf('temperature-difference', system);
    case 'share':
      return { unit: '%', convert: (value) => value * 100 };
    case 'percent':
      return same('%');
    case 'years':
      return same('years');
    case 'hours':
      return same('h');
    case 'seconds':
      return same('s');
    case 'flow-coefficient':
      return scaleOf('flow-coefficient', system);
    case 'capacity':
      return measuresOf(system) === 'si'
        ? { unit: 'kW', convert: (value) => value / 1000 }
        : { unit: 'tons', convert: (value) => value / wattPerTon };
    default:
      return same('');
  }
}

/** What an axis says. */
export function axisWords(name: QuantityName, system: UnitSystem): string {
  const { unit } = scaleFor(name, system);
  return unit === '' ? quantityWords[name].words : `${quantityWords[name].words}, ${unit}`;
}

/** One figure; of a difference of two, temperatures are differences too. */
export function figure(
  name: QuantityName,
  value: number | null,
  system: UnitSystem,
  of: 'value' | 'difference' = 'value',
): string {
  if (value === null) return '–';
  const { kind } = quantityWords[name];
  if (kind === 'count') return roundCount(value);
  if (kind === 'temperature' && of === 'difference') return show(value, 'temperature-difference', system);
  if (kind === 'temperature' || kind === 'temperature-difference') return show(value, kind, system);
  const { unit, convert } = scaleFor(name, system);
  const number = convert(value);
  if (number === 0) return unit === '' ? '0' : `0 ${unit}`;
  const digits = Math.abs(number) >= 100 ? 0 : Math.abs(number) >= 10 ? 1 : 2;
  return unit === '' ? decimals(number, 2) : `${decimals(number, digits)} ${unit}`;
}

/** What a figure needs, where it can be missing of all. */
const needs: Partial<Record<QuantityName, string>> = {
  capacitanceLoss_fraction_year: 'A pace needs tests of a module that lie half a year apart.',
  closingReserve: 'A reserve needs closings from which the capacitance can be estimated.',
  closingTime_s: 'A closing time needs closings, sampled finely, that end with the valve shut.',
  headroom_K: 'It needs a lowest steady superheat, which is learned over weeks of running.',
  superheatSetpoint_K: 'It needs circuits that send their setpoint.',
  setpointOffset_K: 'It needs circuits that send their setpoint.',
  lifeLeft_years: 'It needs openings of the valve, and when the unit was commissioned.',
  subcooling_K: 'It needs the pressure and the temperature of the liquid.',
  ambientTemperature_K: 'It needs an ambient temperature, which not all units send.',
};

/** Why nothing may be known of a figure, in a sentence; of a scatter of either figure. */
export function whyUnknown({
  quantity,
  against,
  range,
}: Pick<Question, 'quantity' | 'against' | 'range'>): string {
  const told = [needs[quantity], against === undefined ? undefined : needs[against]].filter(
    (words) => words !== undefined,
  );
  if (range !== undefined) told.push('Only days in the operating range count.');
  return told.join(' ');
}
