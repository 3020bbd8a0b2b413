import { emptyCircuitSeries, window_s, type CircuitSeries, type swapColumns } from '@coldrounds/core';
import type { Bins, SeriesRepository } from '../../storage/repositories/readings/series.repository.js';
import { rollup_s } from '../../storage/schema/rollups.js';

/** What rollups call the columns that a swap of sensors is told by. */
const columns: Record<(typeof swapColumns)[number], string> = {
  compressorLoad_pct: 'load',
  valveOpening_pct: 'opening',
  suctionPressure_Pa: 'suctionPressure',
  suctionTemperature_K: 'suctionTemperature',
  dischargePressure_Pa: 'dischargePressure',
  dischargeTemperature_K: 'dischargeTemperature',
  liquidTemperature_K: 'liquidTemperature',
};

/** Rollups as the series that core looks at. */
function seriesOfMeans(bins: Bins): CircuitSeries {
  const series = emptyCircuitSeries(bins.time_s.length);
  series.time_s = bins.time_s;
  for (const [name, column] of Object.entries(columns)) series[name as keyof typeof columns] = bins[column];
  return series;
}

/** Rollups of a circuit, and the means of its unit's water after them, as the series that clocks are compared by. */
export function seriesForClocks(circuit: Bins, water: Bins): CircuitSeries {
  const rows = circuit.time_s.length;
  const series = emptyCircuitSeries(rows + water.time_s.length);
  series.time_s.set(circuit.time_s);
  series.time_s.set(water.time_s, rows);
  series.suctionPressure_Pa.set(circuit.suctionPressure);
  series.compressorLoad_pct.set(circuit.load);
  series.enteringWaterTemperature_K.set(water.entering, rows);
  series.leavingWaterTemperature_K.set(water.leaving, rows);
  return series;
}

/** What a circuit did over a span, in means of two minutes. */
export const meansOf = async (
  repository: Pick<SeriesRepository, 'bins'>,
  circuitId: number,
  from_s: number,
  to_s: number,
): Promise<CircuitSeries> =>
  seriesOfMeans(await repository.bins('rollups', circuitId, from_s, to_s, rollup_s));

/** Samples that come more often are taken together, s. */
const finestSample_s = 10;

/** What a circuit sent in some windows of two hours, as valves are asked which reading follows them. */
export async function samplesOf(
  repository: Pick<SeriesRepository, 'bins'>,
  circuitId: number,
  windows: readonly number[],
): Promise<CircuitSeries> {
  const stretches = await Promise.all(
    windows.map((start_s) =>
      repository.bins('samples', circuitId, start_s, start_s + window_s, finestSample_s),
    ),
  );
  const series = emptyCircuitSeries(stretches.reduce((sum, { time_s }) => sum + time_s.length, 0));
  let at = 0;
  for (const { time_s, opening, suctionPressure, suctionTemperature } of stretches) {
    series.time_s.set(time_s, at);
    series.valveOpening_pct.set(opening, at);
    series.suctionPressure_Pa.set(suctionPressure, at);
    series.suctionTemperature_K.set(suctionTemperature, at);
    at += time_s.length;
  }
  return series;
}
