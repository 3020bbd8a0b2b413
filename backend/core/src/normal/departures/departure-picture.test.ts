import { describe, expect, it } from 'vitest';
import { saturated } from '../../diagnosis/causes/sample-channels.js';
import { slicesOfWindows } from '../../diagnosis/unit/circuit-findings-of.js';
import { runningCircuit } from '../../diagnosis/unit/sample-running.js';
import { learnCircuitNormal } from '../learning/learn-normal.js';
import { plateausOf, plateausOfWindow } from '../plateaus/window-plateaus.js';
import { machineOf } from '../quantities/machine.js';
import { departurePicture } from './departure-picture.js';
import { judgePlateaus } from './judge-plateaus.js';

const machine = machineOf({ refrigerant: 'R134a', condenser: 'water', circuits: 2 });
/** From hour 64 on it condenses 2 K higher. */
const plateaus = plateausOf(
  slicesOfWindows(
    runningCircuit(80, (series, i, hour) => {
      if (hour < 64) return;
      series.dischargePressure_Pa[i] = saturated(series.liquidTemperature_K[i]! + 7);
      series.liquidTemperature_K[i]! += 2;
    }),
  ).map(({ start_s, slice }) => plateausOfWindow(slice, 'R134a', start_s)),
  0,
);
const then = plateaus.slice(0, 30);
const now = plateaus.slice(32);
const normal = learnCircuitNormal(machine, then)!;
const picture = departurePicture(machine, normal, then, now);

describe('the picture of a departure', () => {
  it('has the quantity that departs most first, over the load', () => {
    expect(picture.predictor).toBe('load');
    const [approach] = picture.curves;
    expect(approach!.quantity).toBe('condenserApproach_K');
    expect(picture.curves).toHaveLength(3);
    const sizes = picture.curves.map(({ z }) => Math.abs(z));
    expect([...sizes].sort((a, b) => b - a)).toEqual(sizes);
  });

  it('has dots of then within the band of normal, 19 of 20, and dots of now as far above it as they depart', () => {
    const [{ band, then: before, now: since }] = picture.curves as [(typeof picture.curves)[0]];
    const at = (x: number, of: readonly number[]) => {
      const k = band.x.findIndex((edge) => edge >= x);
      const share = k <= 0 ? 0 : (x - band.x[k - 1]!) / (band.x[k]! - band.x[k - 1]!);
      return k <= 0 ? of[0]! : of[k - 1]! + share * (of[k]! - of[k - 1]!);
    };
    const inside = before.x.filter(
      (x, i) => before.value[i]! >= at(x, band.low) && before.value[i]! <= at(x, band.high),
    );
    expect(inside.length).toBeGreaterThanOrEqual(0.9 * before.x.length);
    expect(since.x).toHaveLength(now.length);
    since.x.forEach((x, i) => expect(since.value[i]! - at(x, band.expected)).toBeCloseTo(2, 0));
    const judged = judgePlateaus(machine, normal, now);
    const mean = judged.reduce((sum, one) => sum + one.departures.condenserApproach_K!.z / judged.length, 0);
    expect(picture.curves[0]!.z).toBeCloseTo(mean, 9);
  });

  it('has a band that reaches over all loads of then and now, and widens away from what was learned', () => {
    const { band } = picture.curves[0]!;
    expect(band.x).toHaveLength(25);
    const loads = [...picture.curves[0]!.then.x, ...picture.curves[0]!.now.x];
    expect(band.x[0]).toBeCloseTo(Math.min(...loads), 9);
    expect(band.x.at(-1)).toBeCloseTo(Math.max(...loads), 9);
    const width = (k: number) => band.high[k]! - band.low[k]!;
    expect(Math.max(width(0), width(24))).toBeGreaterThan(width(12));
  });

  it('is empty where nothing of now can be compared', () => {
    expect(departurePicture(machine, normal, then, [])).toEqual({ predictor: null, curves: [] });
    const without = now.map((plateau) => ({ ...plateau, values: {} }));
    expect(departurePicture(machine, normal, then, without).curves).toEqual([]);
  });
});
