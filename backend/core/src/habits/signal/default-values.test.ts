import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { learnHabits } from '../learn-habits.js';
import { prepareSeries } from '../prepare-series.js';
import { lostLine } from '../../sensors/signals/lost-line.js';
import { toRemember, withLearned } from '../with-learned.js';
import { defaultsOf } from '../without-defaults.js';
import { defaultValues } from './default-values.js';
import { isFractionOfOne } from './fraction-of-one.js';

const rows = 2000;
const time_s = Float64Array.from({ length: rows }, (_, i) => 10 * i);
/** A thermometer around 282 K that is never quite still, in the converter's steps of 0.05 K. */
const pipe = Float64Array.from({ length: rows }, (_, i) => 282 + 0.05 * Math.round(20 * Math.sin(i / 37)));
const lostFrom = [300, 700, 1500];
const isLost = (row: number) => lostFrom.some((from) => row >= from && row < from + 40);
const lost = (value: number) => pipe.map((own, row) => (isLost(row) ? value : own));

/** A circuit of which some signals show a value for a missing one. */
function circuitWith(change: Partial<CircuitSeries>): CircuitSeries {
  const series = emptyCircuitSeries(rows);
  return {
    ...series,
    time_s,
    suctionPressure_Pa: Float64Array.from(
      { length: rows },
      (_, i) => 3.5e5 + 400 * Math.round(9 * Math.sin(i / 41)),
    ),
    suctionTemperature_K: pipe,
    enteringWaterTemperature_K: pipe.map((value) => value + 3),
    leavingWaterTemperature_K: pipe.map((value) => value - 2),
    compressorLoad_pct: time_s.map(() => 70),
    ...change,
  };
}

describe('a value that stands for a missing one', () => {
  it('is the one that is jumped to and left again, the same each time', () => {
    expect(defaultValues('suctionTemperature_K', time_s, lost(233.15))).toEqual([233.15]);
    // Near what the quantity has by itself, for a sample at a time.
    const single = pipe.map((own, row) => (row % 150 === 70 ? 273.15 : own));
    expect(defaultValues('suctionTemperature_K', time_s, single)).toEqual([273.15]);
  });

  it('is none that the quantity also has by itself, that it can reach, or that differs each time', () => {
    expect(defaultValues('suctionTemperature_K', time_s, pipe)).toEqual([]);
    expect(defaultValues('suctionTemperature_K', time_s, lost(282))).toEqual([]);
    expect(defaultValues('suctionTemperature_K', time_s, lost(290))).toEqual([]);
    const glitches = pipe.map((own, row) => (row % 500 === 250 ? own + 20 + row / 1000 : own));
    expect(defaultValues('suctionTemperature_K', time_s, glitches)).toEqual([]);
  });

  it('is none that a stuck sensor holds between single wrong samples', () => {
    const wrong = new Map(
      [200, 450, 460, 900, 1400, 1700].map((row, k) => [row, 303.15 + [-27, -19, 25, 36, -30, 13][k]!]),
    );
    const stuck = pipe.map((_, row) => wrong.get(row) ?? 303.15);
    expect(defaultValues('liquidTemperature_K', time_s, stuck)).toEqual([]);
    const { series, habits } = prepareSeries(circuitWith({ liquidTemperature_K: stuck }));
    expect(habits.signals.liquidTemperature_K.glitches).toBe(wrong.size);
    expect(
      series.liquidTemperature_K.every((value, row) =>
        wrong.has(row) ? Number.isNaN(value) : value === 303.15,
      ),
    ).toBe(true);
    // The same wrong value each time is what the gateway puts in; a day of the other one is no visit of a moment.
    const same = pipe.map((_, row) => (wrong.has(row) ? 233.15 : 303.15));
    expect(defaultValues('liquidTemperature_K', time_s, same)).toEqual([233.15]);
  });

  it('is taken out where it is sent, and the whole row where several signals show theirs', () => {
    const alone = prepareSeries(circuitWith({ suctionTemperature_K: lost(233.15) })).series;
    expect(Array.from(alone.suctionTemperature_K, Number.isNaN)).toEqual(
      Array.from(time_s, (_, row) => isLost(row)),
    );
    expect(alone.suctionPressure_Pa.every(Number.isFinite)).toBe(true);
    const all = prepareSeries(
      circuitWith({
        suctionTemperature_K: lost(233.15),
        enteringWaterTemperature_K: lost(233.15),
        leavingWaterTemperature_K: lost(233.15),
      }),
    ).series;
    for (const name of ['suctionPressure_Pa', 'compressorLoad_pct'] as const)
      expect(Array.from(all[name], Number.isNaN)).toEqual(Array.from(time_s, (_, row) => isLost(row)));
  });

  it('makes a sensor doubtful that loses its line alone, and none where the gateway lost them all', () => {
    const doubt = (series: CircuitSeries) =>
      lostLine(series, 'suctionTemperature_K', defaultsOf(learnHabits(series)));
    const alone = doubt(circuitWith({ suctionTemperature_K: lost(233.15) }));
    expect(alone).toMatchObject({ kind: 'value-clipped', value: 233.15 });
    // Three times 40 of 2000 rows, by hand.
    expect(alone!.measure).toBeCloseTo(0.06, 9);
    const all = circuitWith({
      suctionTemperature_K: lost(233.15),
      enteringWaterTemperature_K: lost(233.15),
      leavingWaterTemperature_K: lost(233.15),
    });
    expect(doubt(all)).toBeNull();
    expect(doubt(circuitWith({}))).toBeNull();
  });

  it('is remembered for stretches that show too little of it', () => {
    const habits = learnHabits(circuitWith({ suctionTemperature_K: lost(233.15) }));
    const hours = learnHabits(circuitWith({}));
    expect(toRemember(hours)).toBeNull();
    expect(withLearned(hours, toRemember(habits)).signals.suctionTemperature_K.defaults).toEqual([233.15]);
  });
});

describe('percent sent as fractions of one', () => {
  const opening = Float64Array.from(
    { length: rows },
    (_, i) => 0.45 + 0.01 * Math.round(5 * Math.sin(i / 50)),
  );

  it('are told by never being over 1 and moving all the same, or by being 0 and 1 alone', () => {
    expect(isFractionOfOne('valveOpening_pct', opening)).toBe(true);
    expect(
      isFractionOfOne(
        'compressorLoad_pct',
        time_s.map((at_s) => (at_s % 7200 < 3600 ? 1 : 0)),
      ),
    ).toBe(true);
    expect(
      isFractionOfOne(
        'valveOpening_pct',
        opening.map((value) => 100 * value),
      ),
    ).toBe(false);
    // A shut valve's offset, a machine that stands, and what is no percent.
    expect(
      isFractionOfOne(
        'valveOpening_pct',
        time_s.map((_, i) => (i % 3 === 0 ? 0.3 : 0.35)),
      ),
    ).toBe(false);
    expect(
      isFractionOfOne(
        'compressorLoad_pct',
        time_s.map(() => 0),
      ),
    ).toBe(false);
    expect(isFractionOfOne('waterFlow_m3_s', opening)).toBe(false);
  });

  it('are read as percent', () => {
    const { series } = prepareSeries(circuitWith({ valveOpening_pct: opening }));
    expect(series.valveOpening_pct[10]).toBeCloseTo(100 * opening[10], 9);
  });
});
