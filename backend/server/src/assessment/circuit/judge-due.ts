import {
  judgeWindow,
  plateausOfWindow,
  prepareSeries,
  window_s,
  type HourOfSamples,
  type KeptWindow,
  type SeriesHabits,
  type WindowPlateaus,
} from '@coldrounds/core';
import type { FactsTimeline, FleetCircuit, FleetUnit } from '../../storage/fleet.js';
import type { DueWindow, JudgedCircuit } from '../../storage/assessment/circuit-work.repository.js';
import { reasonOf } from '../../storage/connection/database-errors.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { Rollup } from '../../storage/schema/rollups.js';
import type { Turns } from '../in-sets.js';
import { asOf, factsAt } from '../../registry/facts/timeline.js';
import { hoursInWindow } from './hours-of-samples.js';
import { mainsLosses } from './mains-losses.js';
import { rollupOf } from './rollup.js';
import { sliceSeries, stretches } from './slices.js';

/** What is known of a circuit besides its entry in the registry. */
export interface KnownOfCircuit {
  /** How its signals are sent. */
  learned: SeriesHabits | null;
  /** What held of it until when, oldest first; empty: it never changed. */
  past: FactsTimeline;
}

/**
 * Judges the due windows of one circuit, reading neighbouring ones at once. A window on which the judgement itself fails
 * is given back with the reason; the others go on. The past is judged with what was true then.
 */
export async function judgeDue(
  readings: ReadingRepository,
  nowUnit: FleetUnit,
  nowCircuit: FleetCircuit,
  due: DueWindow[],
  now_s: number,
  turns: Turns,
  { learned, past }: KnownOfCircuit = { learned: null, past: [] },
): Promise<JudgedCircuit> {
  const kept: KeptWindow[] = [];
  const plateaus: WindowPlateaus[] = [];
  const rollups: Rollup[] = [];
  const hours: HourOfSamples[] = [];
  const failed: JudgedCircuit['failed'] = [];
  for (const stretch of stretches(due.map(({ start_s }) => start_s))) {
    const from_s = stretch[0];
    const to_s = stretch[stretch.length - 1] + window_s;
    const series = await readings.circuitSeries(nowCircuit.id, from_s, to_s);
    const around = await readings.around(nowCircuit.id, from_s, to_s);
    const powerLost = await mainsLosses(readings, nowUnit, nowCircuit.number, from_s, to_s);
    for (const start_s of stretch) {
      try {
        const { unit, circuit } = asOfTime(nowUnit, nowCircuit, past, start_s);
        const site = { ...unit, learned };
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
  return { circuitId: nowCircuit.id, due, kept, plateaus, rollups, hours, failed };
}

/** A unit and a circuit as they were at a moment. */
function asOfTime(unit: FleetUnit, circuit: FleetCircuit, past: FactsTimeline, at_s: number) {
  const last = past.at(-1)?.until_s;
  if (last == null || at_s >= last) return { unit, circuit };
  return asOf(unit, circuit, factsAt(past, at_s));
}
