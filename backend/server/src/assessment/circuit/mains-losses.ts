import { findPowerLosses } from '@coldrounds/core';
import type { FleetUnit } from '../../storage/fleet.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';

export interface TimeSpan {
  from_s: number;
  to_s: number;
}

/** Stretches in which a module that serves the circuit saw its mains gone; one that is still going on ends with the span. */
export async function mainsLosses(
  readings: ReadingRepository,
  unit: FleetUnit,
  circuitNumber: number,
  from_s: number,
  to_s: number,
): Promise<TimeSpan[]> {
  const modules = unit.modules.filter(({ entry }) => entry.circuits.includes(circuitNumber));
  const affected = await readings.modulesWithoutMains(
    modules.map(({ id }) => id),
    from_s,
    to_s,
  );
  const losses: TimeSpan[] = [];
  for (const id of affected)
    for (const loss of findPowerLosses(await readings.moduleReadings(id, from_s - 3600, to_s)))
      losses.push({ from_s: loss.from_s, to_s: loss.to_s ?? to_s });
  return losses.sort((a, b) => a.from_s - b.from_s);
}
