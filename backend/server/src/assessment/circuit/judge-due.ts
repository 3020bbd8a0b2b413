import {
  judgeWindow,
  plateausOfWindow,
  prepareSeries,
  type HourOfSamples,
  type KeptWindow,
  type SeriesHabits,
  type WindowPlateaus,
} from '@coldrounds/core';
import type { FleetCircuit, FleetUnit } from '../../storage/fleet.js';
import type { DueWindow, JudgedCircuit } from '../../storage/assessment/circuit-work.repository.js';
import { reasonOf } from '../../storage/connection/database-errors.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { Rollup } from '../../storage/schema/rollups.js';
import type { Turns } from '../in-sets.js';
import { hoursInWindow } from './hours-of-samples.js';
import { mainsLosses } from './mains-losses.js';
import { rollupOf } from './rollup.js';
import { sliceSeries, stretches, window_s } from './slices.js';

/**
 * Judges the due windows of one circuit, reading neighbouring ones at once. A window on which the judgement itself fails
 * is given back with the reason; the others go on.
 */
export async function judgeDue(
  readings: ReadingRepository,
  unit: FleetUnit,
  circuit: FleetCircuit,
  due: DueWindow[],
  now_s: number,
  turns: Turns,
  learned: SeriesHabits | null = null,
): Promise<JudgedCircuit> {
  const site = { ...unit, learned };
  const kept: KeptWindow[] = [];
  const plateaus: WindowPlateaus[] = [];
  const rollups: Rollup[] = [];
  const hours: HourOfSamples[] = [];
  const failed: JudgedCircuit['failed'] = [];
  for (const stretch of stretches(due.map(({ start_s }) => start_s))) {
    const from_s = stretch[0];
    const to_s = stretch[stretch.length - 1] + window_s;
    const series = await readings.circuitSeries(circuit.id, from_s, to_s);
    const around = await readings.around(circuit.id, from_s, to_s);
    const powerLost = await mainsLosses(readings, unit, circuit.number, from_s, to_s);
    for (const start_s of stretch) {
      try {
        const own = sliceSeries(series, start_s, start_s + window_s);
        // By its own samples and what days told: what is found in a window must not hang on which others were due with it.
        const prepared = prepareSeries(own, site);
        const judgement = judgeWindow({
          series: prepared.series,
          habits: prepared.habits,
          unit,
          refrigerant: unit.refrigerant,
          circuit: circuit.entry,
          // The running window ends now, or what is yet to come would count as silence.
          window: { from_s: start_s, to_s: Math.min(start_s + window_s, Math.max(now_s, start_s + 1)) },
          powerLost,
        });
        plateaus.push(plateausOfWindow(prepared.series, unit.refrigerant, start_s));
        kept.push({ start_s, judgedAt_s: now_s, judgement });
        rollups.push(rollupOf(own, unit.refrigerant, start_s));
        if (start_s + window_s <= now_s)
          hours.push(...hoursInWindow({ own, habits: prepared.habits, stretch: series, around, start_s }));
      } catch (error) {
        failed.push({ start_s, reason: reasonOf(error) });
      }
      await turns.give();
    }
  }
  return { circuitId: circuit.id, due, kept, plateaus, rollups, hours, failed };
}
