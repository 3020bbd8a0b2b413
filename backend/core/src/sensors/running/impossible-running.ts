import { saturationCurve } from '../../refrigerants/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { medianOf } from './running-state.js';

/** Medians over settled running that no machine can show; NaN where they are not known. */
export interface ImpossibleRunning {
  superheat_K: number;
  /** Leaving water over saturation. */
  approach_K: number;
  pressureRatio: number;
  /** Why: the compressor would lift nothing, or superheat or approach is one that no machine has. */
  because: 'lifts-nothing' | 'superheat' | 'approach';
}

/**
 * Wide around what the trade sets (superheat of 4 to 10 K, an approach of 1 to 8 K: common practice, no source), so that
 * a machine with any fault keeps within: a starved evaporator's vapour is no warmer than its water, and its low-pressure
 * cut-out stops it. A compressor that runs raises the pressure. Judgement, no source.
 */
const possible = { superheat_K: [-12, 32], approach_K: [-8, 28], leastRatio: 1.04 } as const;
const leastSamples = 120;
/** A load over this says by itself that the compressor runs, %. */
const surelyRuns_pct = 10;

/**
 * Whether settled running reads as no machine can run, which a unit or scale mixed up on the way makes of right readings:
 * kilopascals for pascals, Fahrenheit for Celsius. Null where it is possible, or too little was seen.
 */
export function impossibleRunning(
  refrigerant: string,
  series: CircuitSeries,
  running: readonly number[],
): ImpossibleRunning | null {
  const dew = saturationCurve(refrigerant, 'dew').temperature;
  const saturation = running.map((i) => dew(series.suctionPressure_Pa[i]));
  const median = (value: (i: number, saturation_K: number) => number) =>
    medianOf(
      running.map((i, k) => value(i, saturation[k])),
      leastSamples,
    );
  const seen = {
    superheat_K: median((i, saturation_K) => series.suctionTemperature_K[i] - saturation_K),
    approach_K: median((i, saturation_K) => series.leavingWaterTemperature_K[i] - saturation_K),
    pressureRatio: median((i) =>
      series.compressorLoad_pct[i] > surelyRuns_pct
        ? series.dischargePressure_Pa[i] / series.suctionPressure_Pa[i]
        : NaN,
    ),
  };
  const outside = (value: number, [low, high]: readonly [number, number]) => value < low || value > high;
  if (seen.pressureRatio < possible.leastRatio && seen.pressureRatio > 1 / possible.leastRatio)
    return { ...seen, because: 'lifts-nothing' };
  if (outside(seen.superheat_K, possible.superheat_K)) return { ...seen, because: 'superheat' };
  if (outside(seen.approach_K, possible.approach_K)) return { ...seen, because: 'approach' };
  return null;
}
