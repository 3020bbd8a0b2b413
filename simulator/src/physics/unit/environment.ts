import { smoothNoise, seedOf } from '../random.js';

/** Weather of a site, described by a few numbers; all temperatures in degrees Celsius as a weather service gives them. */
export interface Climate {
  yearMean_C: number;
  /** Half the difference between the warmest and the coldest month. */
  yearSwing_K: number;
  /** Half the difference between afternoon and dawn. */
  daySwing_K: number;
  /** Passing weather, standard deviation. */
  weather_K: number;
  /** How far the wet bulb lies under the dry bulb by day. */
  wetBulbDepression_K: number;
}

/** Load of the building on one unit, as shares of the unit's nominal capacity. */
export interface LoadProfile {
  base: number;
  /** Added while the building is in use. */
  occupied: number;
  /** Added per 10 K of ambient above 18 C. */
  perTenKelvin: number;
  /** Slow random part, standard deviation. */
  spread: number;
  /** Local hours between which the building is in use; weekends off when `weekends` is false. */
  from_h: number;
  to_h: number;
  weekends: boolean;
}

/** When the unit stands by plan: every day between two local hours, or whenever the building is not in use. */
export interface StandPlan {
  kind: 'daily-rest' | 'out-of-hours';
  from_h?: number;
  hours?: number;
}

export interface LocalTime {
  hour: number;
  weekday: number;
  dayOfYear: number;
}

/** What is known of a time zone: how its clock is read, and its offsets by UTC day. Both take long to find out. */
interface Zone {
  clock: Intl.DateTimeFormat;
  offsets_s: Map<number, number>;
}

const zones = new Map<string, Zone>();

/** Seconds by which a time zone is ahead of UTC at the beginning of the UTC day of a time. */
export function zoneOffset_s(timeZone: string, time_s: number): number {
  const day = Math.floor(time_s / 86_400);
  const zone = zones.get(timeZone) ?? newZone(timeZone);
  const known = zone.offsets_s.get(day);
  if (known !== undefined) return known;
  const offset_s = offsetOf(zone.clock, day * 86_400);
  zone.offsets_s.set(day, offset_s);
  return offset_s;
}

function newZone(timeZone: string): Zone {
  const clock = new Intl.DateTimeFormat('en-US', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
  });
  const zone = { clock, offsets_s: new Map<number, number>() };
  zones.set(timeZone, zone);
  return zone;
}

function offsetOf(clock: Intl.DateTimeFormat, time_s: number): number {
  const parts = clock.formatToParts(new Date(time_s * 1000));
  const part = (type: string) => Number(parts.find((entry) => entry.type === type)?.value);
  const local_s = Date.UTC(part('year'), part('month') - 1, part('day'), part('hour'), part('minute')) / 1000;
  return Math.round((local_s - time_s) / 900) * 900;
}

export function localTime(time_s: number, offset_s: number): LocalTime {
  const local_s = time_s + offset_s;
  const day = Math.floor(local_s / 86_400);
  return {
    hour: (local_s - day * 86_400) / 3600,
    weekday: (((day + 4) % 7) + 7) % 7,
    dayOfYear: (day % 365.2425) + 0,
  };
}

/** Outdoor dry bulb, K: year, day and passing weather; the same for the same site and time, always. */
export function outdoor_K(
  climate: Climate,
  site: string,
  latitude_deg: number,
  time_s: number,
  local: LocalTime,
): number {
  const warmest = latitude_deg >= 0 ? 200 : 17;
  const year = Math.cos((2 * Math.PI * (local.dayOfYear - warmest)) / 365.2425);
  const day = Math.cos((2 * Math.PI * (local.hour - 15)) / 24);
  const seed = seedOf('weather', site);
  const weather = 0.8 * smoothNoise(seed, time_s, 130_000) + 0.35 * smoothNoise(seed + 1, time_s, 14_000);
  return (
    273.15 +
    climate.yearMean_C +
    climate.yearSwing_K * year +
    climate.daySwing_K * day +
    climate.weather_K * weather
  );
}

export function inUse(profile: LoadProfile, local: LocalTime): boolean {
  if (!profile.weekends && (local.weekday === 0 || local.weekday === 6)) return false;
  return local.hour >= profile.from_h && local.hour < profile.to_h;
}

/** Load as a share of nominal capacity. */
export function loadFraction(
  profile: LoadProfile,
  seed: number,
  time_s: number,
  local: LocalTime,
  ambient_K: number,
): number {
  const ramp = 1.5;
  const used = inUse(profile, local)
    ? Math.min(1, (local.hour - profile.from_h) / ramp, (profile.to_h - local.hour) / ramp)
    : 0;
  const weather = (profile.perTenKelvin * (ambient_K - 291.15)) / 10;
  const share =
    profile.base +
    profile.occupied * used +
    weather +
    profile.spread * (0.8 * smoothNoise(seed, time_s, 5400) + 0.4 * smoothNoise(seed + 7, time_s, 1100));
  return Math.max(0.1, Math.min(1.02, share));
}

export function standsByPlan(plan: StandPlan | undefined, profile: LoadProfile, local: LocalTime): boolean {
  if (!plan) return false;
  if (plan.kind === 'out-of-hours') return !inUse(profile, local);
  const since = (local.hour - (plan.from_h ?? 0) + 24) % 24;
  return since < (plan.hours ?? 6);
}

/** Standard atmosphere (ICAO Doc 7488): pressure at an altitude, Pa; valid to 11 km. */
export const atmosphere_Pa = (altitude_m: number): number =>
  101_325 * Math.pow(1 - 2.25577e-5 * altitude_m, 5.25588);
