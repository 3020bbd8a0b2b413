import type { CircuitSeries } from '@coldrounds/core';

/**
 * First of the days whose weather simulated circuits see, whenever the tests run: what can be told of a circuit depends on the
 * season, and the store has to be given what is recent.
 */
export const simulatedFrom_s = Date.UTC(2026, 10, 23) / 1000;

/** The same series, its first simulated day at `start_s`. */
export const movedTo = (start_s: number, series: CircuitSeries): CircuitSeries => ({
  ...series,
  time_s: series.time_s.map((time_s) => time_s + start_s - simulatedFrom_s),
});
