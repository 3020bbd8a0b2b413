import { dailyQuantities, monthStart_s, type DailyQuantity } from '@coldrounds/core';

export const subjects = ['circuits', 'modules', 'sensors'] as const;
export type Subject = (typeof subjects)[number];

export const pictures = ['distribution', 'scatter', 'trend', 'share'] as const;
export type Picture = (typeof pictures)[number];

/** Figures of a circuit that are more than sums of its days: of the last assessment, of the valve's rated life, of the registry. */
export const circuitNumbers = [
  'headroom_K',
  'life_fraction_year',
  'travelLife_fraction_year',
  'reversalLife_fraction_year',
  'lifeLeft_years',
  'age_years',
  'capacity_W',
  'kv_m3_h',
] as const;
export type CircuitNumber = (typeof circuitNumbers)[number];
export const moduleQuantities = [
  'capacitance_fraction',
  'esr_fraction',
  'capacitanceLoss_fraction_year',
  'moduleTemperature_K',
  'moduleAge_years',
  'closingReserve',
  'closingTime_s',
] as const;
export type ModuleQuantity = (typeof moduleQuantities)[number];
export const sensorQuantities = ['wrong_fraction'] as const;
export type SensorQuantity = (typeof sensorQuantities)[number];

export const daily = Object.keys(dailyQuantities) as DailyQuantity[];
export const quantities = [...daily, ...circuitNumbers, ...moduleQuantities, ...sensorQuantities] as const;
export type QuantityName = DailyQuantity | CircuitNumber | ModuleQuantity | SensorQuantity;

export const isDaily = (name: QuantityName): name is DailyQuantity => name in dailyQuantities;

export const quantitiesOf: Record<Subject, readonly QuantityName[]> = {
  circuits: [...daily, ...circuitNumbers],
  modules: moduleQuantities,
  sensors: sensorQuantities,
};

/** Days count on which a figure of the day lies in the range: an operating range. */
export const rangeNames = [
  'compressorLoad_pct',
  'ambientTemperature_K',
  'evaporatingTemperature_K',
  'condensingTemperature_K',
] as const;
export interface OperatingRange {
  name: (typeof rangeNames)[number];
  from: number;
  to: number;
}

/** A field of the registry, and the words of which one must be its. */
export interface Where {
  field: string;
  values: string[];
}

export interface Question {
  of: Subject;
  picture: Picture;
  quantity: QuantityName;
  /** What lies across in a scatter. */
  against: QuantityName | null;
  /** In a share: above what a unit counts. */
  over: number | null;
  /** Field of the registry by which the population is divided; null: not at all. */
  split: string | null;
  where: Where[];
  /** Only those that had a finding of this condition in the time asked of. */
  condition: string | null;
  ranges: OperatingRange[];
  /** First and last moment; whole days (UTC). */
  from_s: number;
  to_s: number;
  /** Of a trend or share. */
  period: 'week' | 'month';
  /** Keys of the only sites that count; null: all. */
  sites: readonly string[] | null;
}

const day_s = 86_400;

/**
 * The weeks (from Monday) or calendar months that lie in the time asked of, the first and last cut to it. What is known of
 * modules is known by months, so theirs are whole.
 */
export function periodsOf({ of, picture, period, from_s, to_s }: Question): [number, number][] {
  if (picture !== 'trend' && picture !== 'share') return [[from_s, to_s]];
  const periods: [number, number][] = [];
  const byMonth = of === 'modules' || period === 'month';
  let from = of === 'modules' ? monthStart_s(from_s) : from_s;
  while (from < to_s) {
    const next = Math.min(to_s, byMonth ? monthStart_s(from, 1) : nextMonday_s(from));
    periods.push([from, next]);
    from = next;
  }
  return periods;
}

/** The epoch was a Thursday. */
const nextMonday_s = (time_s: number): number => (Math.floor((time_s / day_s + 3) / 7) * 7 + 4) * day_s;
