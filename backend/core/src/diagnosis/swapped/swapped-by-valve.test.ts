import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import {
  circuitSeriesColumns,
  emptyCircuitSeries,
  type CircuitSeries,
} from '../../telemetry/circuit-series.js';
import { meansFrom } from '../standing/means-of-late.js';
import { swapColumns } from '../standing/swapped-between-circuits.js';
import { swappedByValve, windowsThatTell } from './swapped-by-valve.js';
import { meanCorrelation, valveAnswers } from './valve-answers.js';

const refrigerant = 'R134a';

interface Plant {
  days?: number;
  step_s?: number;
  /** Of the steps of both valves and of both pressures, standard deviation: what the circuits share. */
  sharedMoves_pct?: number;
  sharedPressure_Pa?: number;
  /** Of each valve's own steps. */
  moves_pct?: number;
  /** Each circuit's load swings by itself: pressure falls at once, and the valve opens some time after. */
  ownLoad_Pa?: number;
  seed?: number;
}

/**
 * Two circuits with valves that step and evaporators that answer by a first-order lag of 30 s, 1.5 kPa for each per cent, as
 * loops of dry expansion do by order of magnitude (from memory); suction gets 0.4 K colder for each per cent, with a lag of
 * 90 s. No model of ours, and no controller.
 */
function plant({
  days = 2,
  step_s = 10,
  sharedMoves_pct = 0,
  sharedPressure_Pa = 200,
  moves_pct = 0.4,
  ownLoad_Pa = 0,
  seed = 5,
}: Plant = {}): [CircuitSeries, CircuitSeries] {
  const normal = normalDraws(seededRandom(seed));
  const rows = (days * 86_400) / step_s;
  const both = [emptyCircuitSeries(rows), emptyCircuitSeries(rows)] as [CircuitSeries, CircuitSeries];
  const state = both.map(() => ({ opening: 50, pressure: 0, temperature: 0, load: 0, began: 0 }));
  const [fast, slow, drift] = [30, 90, 600].map((lag_s) => Math.exp(-step_s / lag_s));
  let shared = 0;
  for (let i = 0; i < rows; i++) {
    const together = sharedMoves_pct * normal();
    shared = drift * shared + Math.sqrt(1 - drift ** 2) * 10 * sharedPressure_Pa * normal();
    both.forEach((series, k) => {
      const one = state[k];
      one.load = drift * one.load + Math.sqrt(1 - drift ** 2) * ownLoad_Pa * normal();
      one.began = slow * one.began + (1 - slow) * one.load;
      series.time_s[i] = i * step_s;
      series.compressorLoad_pct[i] = 70;
      series.suctionPressure_Pa[i] = 3.5e5 + one.pressure + shared - one.load + 150 * normal();
      series.suctionTemperature_K[i] = 284 + one.temperature + 0.03 * normal();
      one.opening += 0.02 * (50 - one.opening) + together + moves_pct * normal();
      series.valveOpening_pct[i] = one.opening + one.began / 1000;
      one.pressure = fast * one.pressure + (1 - fast) * 1500 * (one.opening - 50);
      one.temperature = slow * one.temperature - (1 - slow) * 0.4 * (one.opening - 50);
    });
  }
  return both;
}

type Column = Exclude<keyof CircuitSeries, 'time_s'>;
const exchanged = (
  [first, second]: readonly CircuitSeries[],
  column: Column,
): [CircuitSeries, CircuitSeries] => [
  { ...first, [column]: second[column] },
  { ...second, [column]: first[column] },
];

const toldOf = (both: readonly CircuitSeries[]) =>
  swappedByValve(
    both.map((samples, k) => ({ circuit: k + 1, series: meansFrom(samples, 0, swapColumns), samples })),
    refrigerant,
  );
const subjects = (both: readonly CircuitSeries[]) => toldOf(both).map(({ subject }) => subject);
const onBoth = (sensor: string) => [1, 2].map((circuit) => ({ kind: 'sensor', circuit, sensor }));

describe('sensors swapped between two circuits that always run alike', () => {
  const right = plant();

  it.each([
    ['suction-pressure', 'suctionPressure_Pa'],
    ['suction-temperature', 'suctionTemperature_K'],
  ] as const)('are told by which reading follows each valve: %s', (sensor, column) => {
    expect(subjects(exchanged(right, column))).toEqual(onBoth(sensor));
  });

  it('are said with the correlations of the valve on whose circuit they are registered', () => {
    const [{ reasons, shownBy }] = toldOf(exchanged(right, 'suctionPressure_Pa'));
    expect(shownBy).toBe('valve-answers');
    const { valve, with: other, ...figures } = reasons[0].quantities;
    expect([valve.value, other.value]).toEqual([1, 2]);
    expect(figures.other.value).toBeGreaterThan(0.3);
    expect(Math.abs(figures.own.value)).toBeLessThan(0.1);
    expect(figures.windows.value).toBe(4);
  });

  it('are told while both valves also move in common', () => {
    expect(subjects(exchanged(plant({ sharedMoves_pct: 0.6 }), 'suctionPressure_Pa'))).toEqual(
      onBoth('suction-pressure'),
    );
  });

  it('are told by samples 30 s apart, and not by samples a minute apart', () => {
    const of = (step_s: number) => subjects(exchanged(plant({ step_s }), 'suctionPressure_Pa'));
    expect(of(30)).toEqual(onBoth('suction-pressure'));
    expect(of(60)).toEqual([]);
  });

  it.each([
    ['as it is', {}],
    ['with pressures that both follow the water far', { sharedPressure_Pa: 2000 }],
    ['with valves that mostly move in common', { sharedMoves_pct: 2, moves_pct: 0.2 }],
    ['with valves that only move in common', { sharedMoves_pct: 0.5, moves_pct: 0 }],
    ['with loads that swing and valves that answer them', { ownLoad_Pa: 4000 }],
  ] satisfies [string, Plant][])('are not told of a plant that is wired right, %s', (_, given) => {
    for (const seed of [1, 2, 3]) expect(subjects(plant({ ...given, seed }))).toEqual([]);
  });

  it('are not told where each reading goes with its own valve as well, the wrong way round, as in a fast swing', () => {
    const swinging = exchanged(right, 'suctionTemperature_K').map((series) => {
      const keep = Math.exp(-10 / 90);
      let answer = 0;
      return {
        ...series,
        suctionTemperature_K: series.suctionTemperature_K.map((value, i) => {
          answer = keep * answer + (1 - keep) * (series.valveOpening_pct[i] - 50);
          return value + 0.8 * answer;
        }),
      };
    });
    expect(subjects(swinging)).toEqual([]);
  });

  it('are not told of one circuit alone, of valves that hardly move, of one day, nor without samples', () => {
    const swapped = exchanged(right, 'suctionPressure_Pa');
    expect(subjects([swapped[0], right[1]])).toEqual([]);
    const still = exchanged(right, 'suctionPressure_Pa').map((series) => ({
      ...series,
      valveOpening_pct: series.valveOpening_pct.map((_, i) => (i % 400 === 0 ? 50 : 50.1)),
    }));
    expect(subjects(still)).toEqual([]);
    expect(subjects(exchanged(plant({ days: 0.7 }), 'suctionPressure_Pa'))).toEqual([]);
    const means = swapped.map((series, k) => ({
      ...{ circuit: k + 1, series: meansFrom(series, 0, swapColumns), samples: null },
    }));
    expect(swappedByValve(means, refrigerant)).toEqual([]);
  });

  it('are not told where pressure and temperature both follow the other valve: the openings may be the wrong way round', () => {
    expect(subjects(exchanged(right, 'valveOpening_pct'))).toEqual([]);
  });

  it('are asked of the latest window of each half day in which all circuits run', () => {
    const means = right.map((series) => meansFrom(series, 0, swapColumns));
    expect(windowsThatTell(means, refrigerant)).toEqual([10, 22, 34, 46].map((hour) => hour * 3600));
    means[1].compressorLoad_pct.forEach((_, k) => {
      if (k >= 20 * 30 && k < 24 * 30) means[1].compressorLoad_pct[k] = 0;
    });
    means[1].valveOpening_pct.forEach((_, k) => {
      if (k >= 20 * 30 && k < 24 * 30) means[1].valveOpening_pct[k] = 0;
    });
    const starts = windowsThatTell(means, refrigerant);
    expect(starts).toEqual([10, 18, 34, 46].map((hour) => hour * 3600));
    const longer = plant({ days: 4 }).map((series) => meansFrom(series, 0, swapColumns));
    expect(windowsThatTell(longer, refrigerant)).toEqual([46, 58, 70, 82, 94].map((hour) => hour * 3600));
    const within = means.map((series) => cut(series, starts[0], starts[3] + 7200));
    expect(windowsThatTell(within, refrigerant)).toEqual(starts);
  });
});

function cut(series: CircuitSeries, from_s: number, to_s: number): CircuitSeries {
  const kept = [...series.time_s.keys()].filter((k) => series.time_s[k] >= from_s && series.time_s[k] < to_s);
  const out = emptyCircuitSeries(kept.length);
  for (const name of ['time_s', ...circuitSeriesColumns] as const)
    kept.forEach((k, at) => (out[name][at] = series[name][k]));
  return out;
}

describe('what follows a valve', () => {
  it('is nothing where nothing does, within what is stated: z of independent series scatters by 1 over the root of its weight', () => {
    const scores: number[] = [];
    for (let seed = 1; seed <= 40; seed++) {
      const [first, second] = plant({ days: 1 / 12, seed });
      const normal = normalDraws(seededRandom(1000 + seed));
      // Pressures that remember for minutes and follow no valve.
      for (const series of [first, second]) {
        let held = 0;
        series.suctionPressure_Pa.forEach((_, i) => {
          held = 0.95 * held + normal();
          series.suctionPressure_Pa[i] = 3.5e5 + 500 * held;
        });
      }
      for (const { own, other } of valveAnswers(first, second, 0, 'suctionPressure_Pa', [40])!)
        for (const { z, weight } of [...own, ...other]) scores.push(z * Math.sqrt(weight));
    }
    const rms = Math.sqrt(scores.reduce((sum, score) => sum + score * score, 0) / scores.length);
    expect(rms).toBeGreaterThan(0.8);
    expect(rms).toBeLessThan(1.2);
  });

  it('is averaged by weights, and no surer than its scatter from window to window says', () => {
    const mean = meanCorrelation([
      { z: 0.2, weight: 100 },
      { z: 0.4, weight: 300 },
    ]);
    expect(mean.z).toBeCloseTo(0.35, 12);
    // Sum of squares about 0.35: 0.0225 + 0.0025; over 2 - 1, and by 2 windows.
    expect(mean.weight).toBeCloseTo(2 / 0.025, 9);
    expect(meanCorrelation([{ z: 0.2, weight: 100 }]).weight).toBe(100);
  });
});
