import { heldBackFrom_s, historyFrom_s, latenessBin, latenessBins } from '@coldrounds/core/telemetry';
import type { DeliveryRow } from '../incoming/ingest-batch.js';
import type { CompleteRows } from '../incoming/series-rows.js';
import type { ChangedHour } from '../incoming/touched-windows.js';
import type { TelemetryTableName } from '../schema/telemetry-tables.js';

const hour_ms = 3_600_000;

/** What came of one unit in one hour: `samples` by the hour they are of, all else by the hour of arrival. */
export interface DeliveryHour {
  unitId: number;
  /** Hours since the epoch. */
  hour: number;
  samples: number;
  messages: number;
  steps: number;
  repeats: number;
  history: number;
  /** Infinity: no message of the kind. */
  least_s: number;
  historyLeast_s: number;
  /** -Infinity: none. */
  last_ms: number;
  historyAt_ms: number;
  historyUntil_ms: number;
  /** Steps of messages that came at once, by lateness. */
  late: Uint32Array;
}

/** What one table of a batch took, and what changed by it. */
export interface TableChange {
  table: TelemetryTableName;
  runs: readonly CompleteRows[];
  hours: readonly ChangedHour[];
}

/** More hours since the epoch than there will be for a while: unit and hour make one number. */
const mostHours = 2 ** 21;

export const emptyHour = (unitId: number, hour: number): DeliveryHour => ({
  unitId,
  hour,
  samples: 0,
  messages: 0,
  steps: 0,
  repeats: 0,
  history: 0,
  least_s: Infinity,
  historyLeast_s: Infinity,
  last_ms: -Infinity,
  historyAt_ms: -Infinity,
  historyUntil_ms: -Infinity,
  late: new Uint32Array(latenessBins),
});

export class Tally {
  private readonly byKey = new Map<number, DeliveryHour>();

  of(unitId: number, hour: number): DeliveryHour {
    const key = unitId * mostHours + hour;
    let entry = this.byKey.get(key);
    if (entry === undefined) this.byKey.set(key, (entry = emptyHour(unitId, hour)));
    return entry;
  }

  add(other: DeliveryHour): void {
    const own = this.of(other.unitId, other.hour);
    own.samples += other.samples;
    own.messages += other.messages;
    own.steps += other.steps;
    own.repeats += other.repeats;
    own.history += other.history;
    own.least_s = Math.min(own.least_s, other.least_s);
    own.historyLeast_s = Math.min(own.historyLeast_s, other.historyLeast_s);
    own.last_ms = Math.max(own.last_ms, other.last_ms);
    own.historyAt_ms = Math.max(own.historyAt_ms, other.historyAt_ms);
    own.historyUntil_ms = Math.max(own.historyUntil_ms, other.historyUntil_ms);
    for (let bin = 0; bin < latenessBins; bin++) own.late[bin] += other.late[bin];
  }

  all(): DeliveryHour[] {
    return [...this.byKey.values()];
  }

  /** By unit and hour, so that two writers cannot wait for each other. */
  sorted(): DeliveryHour[] {
    return this.all().sort((a, b) => a.unitId - b.unitId || a.hour - b.hour);
  }
}

/** Counts a batch by unit and hour, once what it changed is known: what changed nothing was a repeat. */
export function tallyOf(deliveries: readonly DeliveryRow[], changes: readonly TableChange[]): DeliveryHour[] {
  if (deliveries.length === 0) return [];
  const tally = new Tally();
  const senders = new Map<TelemetryTableName, Map<number, DeliveryRow>>();
  for (const delivery of deliveries) {
    count(tally.of(delivery.unitId, Math.floor(delivery.receivedAt_ms / hour_ms)), delivery);
    let own = senders.get(delivery.table);
    if (own === undefined) senders.set(delivery.table, (own = new Map()));
    own.set(delivery.ownerId, delivery);
  }
  for (const { table, runs, hours } of changes) {
    const own = senders.get(table);
    if (own === undefined) continue;
    const changed = new Map<number, number>();
    for (const { ownerId, hour, rows, samples } of hours) {
      changed.set(ownerId, (changed.get(ownerId) ?? 0) + rows);
      const sender = own.get(ownerId);
      if (sender !== undefined && samples > 0) tally.of(sender.unitId, hour).samples += samples;
    }
    for (const { ownerId, length, repeats } of runs) {
      const sender = own.get(ownerId);
      const again = repeats + length - (changed.get(ownerId) ?? 0);
      if (sender !== undefined && again > 0)
        tally.of(sender.unitId, Math.floor(sender.receivedAt_ms / hour_ms)).repeats += again;
    }
  }
  return tally.all();
}

function count(own: DeliveryHour, { receivedAt_ms, time_ms }: DeliveryRow): void {
  let newest_ms = -Infinity;
  for (let i = 0; i < time_ms.length; i++) if (time_ms[i] > newest_ms) newest_ms = time_ms[i];
  const least_s = (receivedAt_ms - newest_ms) / 1000;
  own.messages += 1;
  own.steps += time_ms.length;
  own.last_ms = Math.max(own.last_ms, receivedAt_ms);
  if (least_s > historyFrom_s) {
    own.history += time_ms.length;
    own.historyLeast_s = Math.min(own.historyLeast_s, least_s);
    own.historyAt_ms = Math.max(own.historyAt_ms, receivedAt_ms);
    own.historyUntil_ms = Math.max(own.historyUntil_ms, newest_ms);
    return;
  }
  own.least_s = Math.min(own.least_s, least_s);
  for (let i = 0; i < time_ms.length; i++) {
    const late_s = (receivedAt_ms - time_ms[i]) / 1000;
    if (late_s <= heldBackFrom_s) {
      own.late[latenessBin(late_s)] += 1;
      continue;
    }
    own.history += 1;
    own.historyAt_ms = receivedAt_ms;
    own.historyUntil_ms = Math.max(own.historyUntil_ms, time_ms[i]);
  }
}
