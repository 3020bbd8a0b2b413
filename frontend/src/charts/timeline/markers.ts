import { formatQuantity } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';
import { onClock, type Column } from '../parts.js';
import type { ChartTheme } from '../theme.js';

/** Something that happened at one time, told over the readings. */
export interface Marker {
  at_s: number;
  words: string;
}

interface MarkedReadings {
  time_s: readonly number[];
  superheatSetpoint_K: Column;
  mainsLosses: readonly { from_s: number; to_s: number | null }[];
}

/** A setpoint that moves by less is the last digit of its reading, K. Judgement, no source. */
const setting_K = 0.2;
/** More would cover the readings that they stand over; the newest are shown. */
const most = 8;

/** Times at which the setpoint was changed, by the readings themselves. */
function settings({ time_s, superheatSetpoint_K }: MarkedReadings, system: UnitSystem): Marker[] {
  const found: Marker[] = [];
  let before: number | null = null;
  superheatSetpoint_K.forEach((value, index) => {
    if (value === null) return;
    if (before !== null && Math.abs(value - before) >= setting_K)
      found.push({
        at_s: time_s[index],
        words: `setpoint ${formatQuantity({ kind: 'temperature-difference', value }, system)}`,
      });
    before = value;
  });
  return found;
}

export interface Happened {
  findings: readonly { condition: string; firstSeen_s: number }[];
  /** When findings were closed with what a visit saw. */
  visits_s: readonly number[];
}

/** Visits whose findings were closed one after the other are one, s. */
const sameVisit_s = 3600;

/** Findings as they were first seen, visits, losses of mains and changed settings, in time order. */
export function markersOf(
  readings: MarkedReadings,
  { findings, visits_s }: Happened,
  system: UnitSystem,
): Marker[] {
  const from_s = readings.time_s[0] ?? Infinity;
  const to_s = readings.time_s.at(-1) ?? -Infinity;
  return [
    ...findings.map(({ condition, firstSeen_s }) => ({
      at_s: firstSeen_s,
      words: `${condition.replaceAll('-', ' ')} first seen`,
    })),
    ...[...visits_s]
      .sort((a, b) => a - b)
      .filter((at_s, index, all) => index === 0 || at_s - all[index - 1] > sameVisit_s)
      .map((at_s) => ({ at_s, words: 'visit' })),
    ...readings.mainsLosses.map((loss) => ({ at_s: loss.from_s, words: 'power lost' })),
    ...settings(readings, system),
  ]
    .filter(({ at_s }) => at_s >= from_s && at_s <= to_s)
    .sort((a, b) => a.at_s - b.at_s)
    .slice(-most);
}

/** Where markers lie in a window of the site's clock, as a fraction of its width; those outside are left out. */
export function markerPlaces(
  markers: readonly Marker[],
  { from, to }: { from: number; to: number },
  theme: Pick<ChartTheme, 'zone'>,
): { along: number; words: string }[] {
  const place = onClock(theme);
  return markers
    .map(({ at_s, words }) => ({ along: (place(at_s) - from) / (to - from), words }))
    .filter(({ along }) => along >= 0 && along <= 1);
}
