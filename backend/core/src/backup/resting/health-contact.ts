import type { ModuleEntry } from '../../telemetry/index.js';
import type { ModuleReadings } from './module-readings.js';
import type { ReserveNow } from '../reserve/index.js';

export interface HealthAssessment {
  state: 'good' | 'fault' | 'stuck' | 'unknown';
  /** Since when the contact has read as it does, or against the evidence, s since the epoch. */
  since_s: number | null;
  /** What a stuck contact contradicts: `null` unless stuck. */
  sign: 'good-under-minimum-voltage' | 'good-without-reserve' | 'no-longer-follows' | null;
}

/** Fault must last this long to count: relays chatter when the mains return. */
const faultLasts_s = 600;
/** A sound contact opens within so many readings in a row under the minimum voltage. */
const clearlyLow = 5;
/** A contact that opens at a discharge does so within this time of its start. */
const followsWithin_s = 180;
/** So many discharges followed show that this contact follows them; so many not followed since, that it no longer does. */
const showsHabit = 3;
const breaksHabit = 5;

/**
 * The health contact: says fault; or says good against the evidence; or good. A contact that never changes on a module
 * that is evidently good is just that, good. It is called stuck only
 *
 * - where it said good while the voltage was under the one at which the converter drives;
 * - where it says good although the stored energy does not even cover one closing at the temperature of now;
 * - where it used to open at each discharge, and has stopped doing so.
 */
export function assessHealth(input: {
  module: ModuleEntry;
  readings: ModuleReadings;
  /** Starts of the discharges, in time order. */
  dischargedAt_s: readonly number[];
  reserve: ReserveNow;
  unableReserve: number;
}): HealthAssessment {
  const { readings, dischargedAt_s, reserve, unableReserve } = input;
  const { minimumVoltage_V } = input.module;
  const { health, voltage_V } = readings;
  const n = readings.time_s.length;
  // Indices rather than times: a variable that may be null is slow in a loop over all readings.
  let state = -1;
  let since = -1;
  let before = -1;
  let last = -1;
  let goodWhileLow = 0;
  let lowSince = -1;
  for (let i = 0; i < n; i++) {
    const contact = health[i]!;
    if (!(contact >= 0)) continue;
    const now = contact >= 0.5 ? 1 : 0;
    last = i;
    // A reading without voltage neither ends nor lengthens a stretch.
    const voltage = voltage_V[i]!;
    if (now === 0 || voltage >= minimumVoltage_V) goodWhileLow = 0;
    else if (voltage < minimumVoltage_V && ++goodWhileLow === clearlyLow && lowSince < 0) lowSince = i;
    if (now !== state) {
      before = since;
      state = now;
      since = i;
    }
  }
  const timeAt = (place: number): number | null => (place < 0 ? null : readings.time_s[place]!);
  const since_s = timeAt(since);
  const before_s = timeAt(before);
  const lowSince_s = timeAt(lowSince);
  const last_s = timeAt(last) ?? -Infinity;
  if (since_s === null) return { state: 'unknown', since_s: null, sign: null };
  if (state === 0) {
    if (last_s - since_s >= faultLasts_s) return { state: 'fault', since_s, sign: null };
    // Just opened, as after a discharge.
    return { state: before_s === null ? 'unknown' : 'good', since_s: before_s, sign: null };
  }
  if (lowSince_s !== null) return { state: 'stuck', since_s: lowSince_s, sign: 'good-under-minimum-voltage' };
  const now =
    reserve.state === 'known' ? reserve.cases.find((each) => each.situation === 'fully-open-now') : undefined;
  if (reserve.state === 'known' && now && now.interval.p90 < unableReserve && last_s >= reserve.lastClosing_s)
    return { state: 'stuck', since_s: reserve.lastClosing_s, sign: 'good-without-reserve' };
  const stopped_s = stoppedFollowing(readings, dischargedAt_s);
  if (stopped_s !== null) return { state: 'stuck', since_s: stopped_s, sign: 'no-longer-follows' };
  return { state: 'good', since_s, sign: null };
}

/**
 * The first of the latest discharges that the contact did not follow, where it had followed the ones before; `null`
 * where it never did, or still does. A discharge without a reading soon after it says nothing.
 */
function stoppedFollowing(readings: ModuleReadings, dischargedAt_s: readonly number[]): number | null {
  const followed: { at_s: number; opened: boolean }[] = [];
  let i = 0;
  for (const at_s of dischargedAt_s) {
    while (i < readings.time_s.length && readings.time_s[i]! < at_s) i++;
    let seen = false;
    let opened = false;
    for (let j = i; j < readings.time_s.length && readings.time_s[j]! <= at_s + followsWithin_s; j++) {
      const health = readings.health[j]!;
      // The contact may close again after a minute and a half, so only a reading soon after the start shows whether it opened.
      if (!Number.isNaN(health) && readings.time_s[j]! <= at_s + followsWithin_s / 2) seen = true;
      if (health < 0.5) opened = true;
    }
    if (seen || opened) followed.push({ at_s, opened });
  }
  let last = followed.length - 1;
  while (last >= 0 && !followed[last]!.opened) last--;
  if (followed.length - 1 - last < breaksHabit) return null;
  // Right before it stopped it must have followed every one of them.
  for (let k = last; k > last - showsHabit; k--) if (k < 0 || !followed[k]!.opened) return null;
  return followed[last + 1]!.at_s;
}
