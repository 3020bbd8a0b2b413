/** What happened to a circuit that its normal may depend on. */
export interface CircuitEvent {
  at_s: number;
  kind: 'refrigerant-changed' | 'valve-changed' | 'firmware-changed' | 'visit';
  /** Of a visit: something that was wrong was put right. A visit that found nothing changes nothing. */
  putRight?: boolean;
}

/**
 * From when on a circuit's normal has to be learned anew: the latest event after which it is another circuit, or no longer
 * a faulty one. Null where there was none. Time alone never starts it anew: what creeps would become normal.
 *
 * @example learnAnewFrom([{ at_s: 100, kind: 'visit', putRight: true }, { at_s: 200, kind: 'visit' }]) // 100
 */
export function learnAnewFrom(events: readonly CircuitEvent[]): number | null {
  const times = events
    .filter(({ kind, putRight }) => kind !== 'visit' || putRight === true)
    .map(({ at_s }) => at_s);
  return times.length === 0 ? null : Math.max(...times);
}
