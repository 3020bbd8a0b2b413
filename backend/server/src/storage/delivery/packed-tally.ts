import { latenessBins } from '@coldrounds/core/telemetry';
import { emptyHour, type DeliveryHour } from './tally.js';

/** Most bytes of an entry: numbers of up to five bytes each, and two of four. */
const mostBytes = (12 + 2 * latenessBins) * 5 + 8;

const has = { least: 1, historyLeast: 2, last: 4, history: 8 };

/**
 * Entries in some 20 bytes each, as numbers of seven bits a byte (LEB128): what is not there takes no room, bins that
 * hold nothing are left out, moments are whole seconds, and lateness is single precision.
 */
export function packTally(entries: readonly DeliveryHour[]): Buffer {
  const bytes = Buffer.allocUnsafe(entries.length * mostBytes);
  let at = 0;
  const put = (value: number) => {
    while (value >= 128) {
      bytes[at++] = (value % 128) + 128;
      value = Math.floor(value / 128);
    }
    bytes[at++] = value;
  };
  for (const entry of entries) {
    const { least_s, historyLeast_s, late } = entry;
    put(entry.unitId);
    put(entry.hour);
    put(entry.samples);
    put(entry.messages);
    put(entry.steps);
    put(entry.repeats);
    put(entry.history);
    put(
      (least_s < Infinity ? has.least : 0) +
        (historyLeast_s < Infinity ? has.historyLeast : 0) +
        (entry.last_ms > -Infinity ? has.last : 0) +
        (entry.historyAt_ms > -Infinity ? has.history : 0),
    );
    if (least_s < Infinity) at = bytes.writeFloatLE(least_s, at);
    if (historyLeast_s < Infinity) at = bytes.writeFloatLE(historyLeast_s, at);
    if (entry.last_ms > -Infinity) put(seconds(entry.last_ms));
    if (entry.historyAt_ms > -Infinity) {
      put(seconds(entry.historyAt_ms));
      put(seconds(entry.historyUntil_ms));
    }
    let bins = 0;
    for (let bin = 0; bin < latenessBins; bin++) if (late[bin] > 0) bins++;
    put(bins);
    for (let bin = 0; bin < latenessBins; bin++) {
      if (late[bin] === 0) continue;
      put(bin);
      put(late[bin]);
    }
  }
  return bytes.subarray(0, at);
}

const seconds = (time_ms: number) => Math.max(0, Math.round(time_ms / 1000));

export function unpackTally(bytes: Buffer): DeliveryHour[] {
  let at = 0;
  const take = () => {
    let value = 0;
    for (let factor = 1; ; factor *= 128) {
      const byte = bytes[at++];
      value += (byte % 128) * factor;
      if (byte < 128) return value;
    }
  };
  const float = () => {
    at += 4;
    return bytes.readFloatLE(at - 4);
  };
  const entries: DeliveryHour[] = [];
  while (at < bytes.length) {
    const entry = emptyHour(take(), take());
    entry.samples = take();
    entry.messages = take();
    entry.steps = take();
    entry.repeats = take();
    entry.history = take();
    const flags = take();
    if (flags & has.least) entry.least_s = float();
    if (flags & has.historyLeast) entry.historyLeast_s = float();
    if (flags & has.last) entry.last_ms = take() * 1000;
    if (flags & has.history) {
      entry.historyAt_ms = take() * 1000;
      entry.historyUntil_ms = take() * 1000;
    }
    for (let left = take(); left > 0; left--) {
      const bin = take();
      entry.late[bin] = take();
    }
    entries.push(entry);
  }
  return entries;
}
