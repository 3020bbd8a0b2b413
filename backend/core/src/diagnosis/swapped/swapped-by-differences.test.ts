import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { saturationCurve } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { swappedByDifferences } from './swapped-by-differences.js';

const refrigerant = 'R134a';
const dew = saturationCurve(refrigerant, 'dew').temperature;

/** Pressure whose dew point is a temperature, by halving. */
function pressureAt(temperature_K: number): number {
  let [low, high] = [1e5, 3e6];
  for (let k = 0; k < 60; k++) {
    const middle = 0.5 * (low + high);
    if (dew(middle) < temperature_K) low = middle;
    else high = middle;
  }
  return low;
}

interface Running {
  /** Of the first circuit over the second, as time goes on: from -1 to 1 and back. */
  condensing_K: number;
  superheat_K: number;
}

/**
 * Two days of two circuits in means of two minutes. One condenses warmer, and one has the higher superheat, by turns; liquid is
 * 4 K under condensing, and discharge superheat is 10 K and 1.2 times the superheat: physics of the trade, no model of ours.
 */
function pair({ condensing_K, superheat_K }: Running): [CircuitSeries, CircuitSeries] {
  const noise = normalDraws(seededRandom(3));
  const rows = (2 * 86_400) / 120;
  const make = (sign: number) => {
    const series = emptyCircuitSeries(rows);
    for (let i = 0; i < rows; i++) {
      const turn = sign * Math.sin((2 * Math.PI * i * 120) / 9000);
      const other = sign * Math.sin((2 * Math.PI * i * 120) / 7000);
      const condensing = 313 + condensing_K * turn;
      const superheat = 6 + superheat_K * other;
      // Higher superheat comes from less liquid, which evaporates lower.
      const evaporating = 276 - 0.7 * superheat_K * other;
      series.time_s[i] = i * 120;
      series.compressorLoad_pct[i] = 80;
      series.valveOpening_pct[i] = 50;
      series.suctionPressure_Pa[i] = pressureAt(evaporating) + 100 * noise();
      series.suctionTemperature_K[i] = evaporating + superheat + 0.02 * noise();
      series.dischargePressure_Pa[i] = pressureAt(condensing) + 200 * noise();
      series.dischargeTemperature_K[i] = condensing + 10 + 1.2 * superheat + 0.05 * noise();
      series.liquidTemperature_K[i] = condensing - 4 + 0.02 * noise();
    }
    return series;
  };
  return [make(1), make(-1)];
}

type Column = Exclude<keyof CircuitSeries, 'time_s'>;

const exchanged = ([first, second]: [CircuitSeries, CircuitSeries], column: Column) =>
  [
    { ...first, [column]: second[column] },
    { ...second, [column]: first[column] },
  ] as [CircuitSeries, CircuitSeries];

const toldOf = (both: readonly CircuitSeries[]) =>
  swappedByDifferences(
    both.map((series, k) => ({ circuit: k + 1, series })),
    refrigerant,
  ).map(({ subject }) => subject);

describe('sensors swapped between two circuits that run together', () => {
  const unlike = pair({ condensing_K: 1.5, superheat_K: 0.2 });

  it.each([
    ['liquid-temperature', 'liquidTemperature_K'],
    ['discharge-temperature', 'dischargeTemperature_K'],
    ['discharge-pressure', 'dischargePressure_Pa'],
  ] as const)('are told by which circuit condenses warmer: %s', (sensor, column) => {
    expect(toldOf(exchanged(unlike, column))).toEqual([
      { kind: 'sensor', circuit: 1, sensor },
      { kind: 'sensor', circuit: 2, sensor },
    ]);
  });

  it('are told by discharge superheat that follows superheat only with the suction pressures exchanged', () => {
    const floating = pair({ condensing_K: 0.2, superheat_K: 3 });
    expect(toldOf(exchanged(floating, 'suctionPressure_Pa'))).toEqual([
      { kind: 'sensor', circuit: 1, sensor: 'suction-pressure' },
      { kind: 'sensor', circuit: 2, sensor: 'suction-pressure' },
    ]);
  });

  it('are not told where all are wired right, whatever differs between the circuits', () => {
    expect(toldOf(unlike)).toEqual([]);
    expect(toldOf(pair({ condensing_K: 0.2, superheat_K: 3 }))).toEqual([]);
    expect(toldOf(pair({ condensing_K: 2, superheat_K: 3 }))).toEqual([]);
  });

  it('are not told of circuits that do the same, of one that stands, nor of half a day', () => {
    expect(toldOf(exchanged(pair({ condensing_K: 0.1, superheat_K: 0.1 }), 'liquidTemperature_K'))).toEqual(
      [],
    );
    const [first, second] = exchanged(unlike, 'liquidTemperature_K');
    const standing = { ...second, compressorLoad_pct: second.compressorLoad_pct.map(() => 0) };
    expect(toldOf([first, standing])).toEqual([]);
    const cut = (series: CircuitSeries) =>
      Object.fromEntries(
        Object.entries(series).map(([name, values]) => [name, values.slice(0, 350)]),
      ) as unknown as CircuitSeries;
    expect(toldOf([cut(first), cut(second)])).toEqual([]);
  });
});
