import { describe, expect, it } from 'vitest';
import {
  circuitSeriesColumns,
  emptyCircuitSeries,
  type CircuitSeries,
} from '../../telemetry/circuit-series.js';
import { runningCircuit } from '../unit/sample-running.js';
import { compareWithNormal } from './compare-with-normal.js';
import { saturated } from './sample-channels.js';

const normal = runningCircuit(72);
const compare = (series: CircuitSeries, of = normal) =>
  compareWithNormal({ series, normal: of, refrigerant: 'R134a' });

/** Condensing `kelvin` higher at the same water, the liquid with it. */
const fouled = (kelvin: number) =>
  runningCircuit(24, (series, i) => {
    const condensing = series.liquidTemperature_K[i]! + 5;
    series.dischargePressure_Pa[i] = saturated(condensing + kelvin);
    series.liquidTemperature_K[i]! += 0.85 * kelvin;
    series.dischargeTemperature_K[i]! += 1.3 * kelvin;
    series.compressorPower_W[i]! *= 1 + kelvin / 30;
  });

describe('a log compared with one of normal running', () => {
  it('is over no limit where nothing changed, and has no cause', () => {
    const found = compare(runningCircuit(24));
    expect(found.plateaus.length).toBeGreaterThan(6);
    expect(found.plateaus.filter(({ overLimit }) => overLimit)).toEqual([]);
    expect(found.plateaus.every(({ distance }) => distance! < 1)).toBe(true);
    expect(found.causes).toEqual([]);
    expect(found.warnings).toEqual([]);
    expect(found.normal!.from_s).toBeLessThan(found.normal!.to_s);
    expect(found.normal!.plateaus).toBeGreaterThan(24);
    expect(found.normal!.quantities).toContain('condenserApproach_K');
  });

  it('shows a condenser that condenses 1.5 K higher, likeliest cause first, weights adding up to 1', () => {
    const found = compare(fouled(1.5));
    expect(found.plateaus.every(({ overLimit }) => overLimit)).toBe(true);
    const { condenserApproach_K: approach } = found.plateaus[0]!.departures;
    expect(approach!.value - approach!.expected).toBeGreaterThan(1.2);
    expect(approach!.value - approach!.expected).toBeLessThan(1.8);
    expect(found.causes[0]!.cause).toBe('condenser-fouled');
    expect(found.causes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
    expect(found.causes[0]).not.toHaveProperty('severity');
  });

  it('says that there is too little to learn from, and compares nothing', () => {
    const found = compare(fouled(1.5), runningCircuit(1));
    expect(found.normal).toBeNull();
    expect(found.causes).toEqual([]);
    expect(found.warnings[0]).toMatch(
      /^The normal log has \d+ plateaus? of steady running|^The normal log has/,
    );
    expect(found.plateaus.length).toBeGreaterThan(6);
    expect(found.plateaus.every(({ distance, overLimit }) => distance === null && !overLimit)).toBe(true);
  });

  it('says that a log without steady running cannot be compared', () => {
    const found = compare(emptyCircuitSeries(0));
    expect(found.plateaus).toEqual([]);
    expect(found.warnings).toEqual(['The log has no plateau of steady running: nothing could be compared.']);
  });

  it('reads a log of which most cells are empty as sent on change', () => {
    const sparse = (every: number) =>
      runningCircuit(24, (series, i) => {
        if (i % every === 0) return;
        for (const name of circuitSeriesColumns) series[name][i] = NaN;
      });
    const found = compare(sparse(4));
    expect(found.plateaus.length).toBeGreaterThan(6);
    expect(found.plateaus.filter(({ overLimit }) => overLimit)).toEqual([]);
  });
});

/** The same machine that sends nothing of its condenser's water, only the room that it stands in; the water `warmer` than it was. */
const unreadWater = (hours: number, warmer: number, lostSubcooling = 0) =>
  runningCircuit(hours, (series, i) => {
    const condensing = series.liquidTemperature_K[i]! + 5;
    series.dischargePressure_Pa[i] = saturated(condensing + warmer);
    series.liquidTemperature_K[i]! += warmer + lostSubcooling;
    // The discharge along its rise for each kelvin of lift; the valve along the root of its pressure difference; the compressor's capacity.
    series.dischargeTemperature_K[i]! += 1.2 * warmer;
    // Bubbles in the liquid ask for more of the valve.
    series.valveOpening_pct[i]! *= 1 - 0.02 * warmer + 0.04 * lostSubcooling;
    series.waterFlow_m3_s[i]! *= 1 - 0.01 * warmer;
    series.compressorPower_W[i] = NaN;
    series.condenserEnteringTemperature_K[i] = NaN;
    series.condenserLeavingTemperature_K[i] = NaN;
    series.condenserFlow_m3_s[i] = NaN;
    series.ambientTemperature_K[i] = 295 + 0.3 * Math.sin(i / 400);
  });

describe('a machine that sends nothing of what its condenser is cooled by', () => {
  const learned = unreadWater(72, 0);

  it.each([2, 6, -4])('is no departure where its water is %d K warmer than it was', (warmer) => {
    const found = compare(unreadWater(24, warmer), learned);
    expect(found.plateaus.length).toBeGreaterThan(6);
    expect(found.normal!.quantities).not.toContain('condenserApproach_K');
    expect(found.plateaus.filter(({ overLimit }) => overLimit)).toEqual([]);
    expect(found.causes).toEqual([]);
  });

  it('still has missing refrigerant told by its subcooling, and no condenser named before it, in water 2 K warmer', () => {
    const found = compare(unreadWater(24, 2, 3), learned);
    expect(found.plateaus.filter(({ overLimit }) => overLimit).length).toBeGreaterThan(6);
    expect(found.causes[0]!.cause).toBe('missing-refrigerant');
  });
});
