import { notJudgedOn, type DailyQuantity, type SensorVerdict } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';

/** A finding on a sensor, or on what is registered of it, and the time over which it stood. */
export interface SensorSpan extends SensorVerdict {
  unitId: number;
  from_s: number;
  /** Infinity: it still stands. */
  to_s: number;
}

/** What a wrong sensor makes useless. */
export type Affected = 'level' | 'swing' | 'subcooling';

const affectedOf: Partial<Record<DailyQuantity, Affected>> = {
  superheatMean_K: 'level',
  setpointOffset_K: 'level',
  floodbackFraction: 'level',
  starvedFraction: 'level',
  superheatSpread_K: 'swing',
  huntingFraction: 'swing',
  subcooling_K: 'subcooling',
};

/** What of a wrong sensor a quantity suffers; null: nothing. */
export const affected = (quantity: DailyQuantity): Affected | null => affectedOf[quantity] ?? null;

/** Spans over which a circuit's figures of a kind are wrong, by the circuit's id. */
export type WrongSpans = ReadonlyMap<number, { affected: Affected; from_s: number; to_s: number }[]>;

/** When which figures of which circuit are wrong, by the findings on their units' sensors, corrected or not. */
export function wrongSpans(units: readonly FleetUnit[], spans: readonly SensorSpan[]): WrongSpans {
  const byId = new Map(units.map((unit) => [unit.id, unit]));
  const found = new Map<number, { affected: Affected; from_s: number; to_s: number }[]>();
  for (const span of spans)
    for (const circuit of byId.get(span.unitId)?.circuits ?? []) {
      const not = notJudgedOn([span], circuit.number, 'as-read');
      const wrong: Affected[] = [
        ...(not.superheatLevel ? (['level'] as const) : []),
        ...(not.superheatSwing ? (['swing'] as const) : []),
        ...(not.subcooling ? (['subcooling'] as const) : []),
      ];
      if (wrong.length === 0) continue;
      const known = found.get(circuit.id) ?? [];
      known.push(...wrong.map((each) => ({ affected: each, from_s: span.from_s, to_s: span.to_s })));
      found.set(circuit.id, known);
    }
  return found;
}
