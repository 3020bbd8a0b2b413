import { emptyCircuitSeries, window_s } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import { rollupOf } from './rollup.js';
import { sliceSeries, stretches } from './slices.js';

const series = (times: number[]) => {
  const made = emptyCircuitSeries(times.length);
  made.time_s.set(times);
  return made;
};

describe('sliceSeries', () => {
  it('takes the first time in and the last out', () => {
    expect([...sliceSeries(series([0, 10, 20, 30]), 10, 30).time_s]).toEqual([10, 20]);
    expect(sliceSeries(series([0, 10]), 50, 90).time_s).toHaveLength(0);
  });
});

describe('stretches', () => {
  it('reads neighbouring windows together and distant ones apart', () => {
    const day = 12 * window_s;
    expect(stretches([window_s, 0, day])).toEqual([[0, window_s], [day]]);
  });
});

describe('rollupOf', () => {
  it('summarises two minutes and leaves out what was not sent', () => {
    const samples = series([0, 10, 110, 120]);
    samples.valveOpening_pct.set([10, 30, NaN, 50]);
    const rollup = rollupOf(samples, 'R134a', 0);
    expect(rollup.time_s).toEqual([0, 120]);
    expect(rollup.samples).toEqual([3, 1]);
    expect(rollup.columns.valve_opening_mean_pct).toEqual([20, 50]);
    expect(rollup.columns.valve_opening_min_pct).toEqual([10, 50]);
    expect(rollup.columns.valve_opening_max_pct).toEqual([30, 50]);
    expect(rollup.columns.superheat_mean_k).toEqual([NaN, NaN]);
  });
});
