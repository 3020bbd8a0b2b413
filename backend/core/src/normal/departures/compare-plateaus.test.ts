import { describe, expect, it } from 'vitest';
import { slicesOfWindows } from '../../diagnosis/unit/circuit-findings-of.js';
import { runningCircuit } from '../../diagnosis/unit/sample-running.js';
import { saturated } from '../../diagnosis/causes/sample-channels.js';
import { packComparisons, packPlateaus, unpackComparisons, unpackPlateaus } from '../../packing/index.js';
import { learnCircuitNormal } from '../learning/learn-normal.js';
import { plateausOf, plateausOfWindow } from '../plateaus/window-plateaus.js';
import { machineOf } from '../quantities/machine.js';
import { comparePlateaus, isOverLimit, plateausChecksum, type ComparedPlateau } from './compare-plateaus.js';
import { judgePlateaus } from './judge-plateaus.js';

const machine = machineOf({ refrigerant: 'R134a', condenser: 'water' });
const windows = slicesOfWindows(
  runningCircuit(96, (series, i, hour) => {
    if (hour < 80) return;
    series.dischargePressure_Pa[i] = saturated(series.liquidTemperature_K[i]! + 7);
  }),
).map(({ start_s, slice }) => plateausOfWindow(slice, 'R134a', start_s));
const plateaus = plateausOf(unpackPlateaus(packPlateaus(windows)), 0);
const normal = learnCircuitNormal(machine, plateaus.slice(0, 28))!;
const judged = plateaus.slice(28);
const anew = comparePlateaus(machine, normal, judged, [], 1);

describe('plateaus compared with normal', () => {
  it('are as far off as judging all of them says', () => {
    const expected = judgePlateaus(machine, normal, judged);
    expect(anew.map(({ distance }) => distance)).toEqual(expected.map(({ distance }) => distance));
    expect(anew.map(isOverLimit)).toEqual(expected.map(({ overLimit }) => overLimit));
    expect(anew.some(isOverLimit)).toBe(true);
    anew.forEach(({ z }, k) => {
      const { departures } = expected[k]!;
      expect(Object.keys(z).sort()).toEqual(Object.keys(departures).sort());
      expect(z.condenserApproach_K).toBe(departures.condenserApproach_K!.z);
    });
  });

  it('are not judged far over the highest load that was learned from', () => {
    const flow = normal.point.loadSource === 'water-heat' ? 'waterFlow_m3_s' : 'compressorLoad_pct';
    const far = judged.map((plateau) => {
      const { value, uncertainty } = plateau.values[flow]!;
      return { ...plateau, values: { ...plateau.values, [flow]: { value: 5 * value, uncertainty } } };
    });
    for (const { distance, z } of comparePlateaus(machine, normal, far, [], 1)) {
      expect(distance).toBeNull();
      expect(z).toEqual({});
    }
  });

  it('are the same compared one by one as all at once, whatever order they come in', () => {
    let state = 7;
    const next = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
    const order = judged.map((plateau) => [next(), plateau] as const).sort((a, b) => a[0] - b[0]);
    let before: ComparedPlateau[] = [];
    for (let known = 1; known <= order.length; known++) {
      const there = order
        .slice(0, known)
        .map(([, plateau]) => plateau)
        .sort((a, b) => a.from_s - b.from_s);
      before = comparePlateaus(machine, normal, there, unpackComparisons(packComparisons(before)), 1);
    }
    expect(asKept(before)).toEqual(asKept(anew));
  });

  it('are taken over as they are where nothing near them changed, and compared anew where it did', () => {
    const taken = comparePlateaus(machine, normal, judged, anew, 1);
    taken.forEach((one, k) => expect(one).toBe(anew[k]));
    // The last one is rejudged: it and the twelve before it are looked at together.
    const last = judged.at(-1)!;
    const changed = {
      ...last,
      values: { ...last.values, liquidTemperature_K: { value: 300, uncertainty: 0.1 } },
    };
    const again = comparePlateaus(machine, normal, [...judged.slice(0, -1), changed], anew, 1);
    const kept = again.filter((one) => anew.includes(one));
    expect(kept).toEqual(anew.slice(0, -13));
    // Another normal: all of them.
    expect(comparePlateaus(machine, normal, judged, anew, 2).some((one) => anew.includes(one))).toBe(false);
  });

  it('keep what was found while their neighbours were known, once these are not looked at any more', () => {
    const later = comparePlateaus(machine, normal, judged.slice(2), anew, 1, true);
    later.forEach((one, k) => expect(one).toBe(anew[k + 2]));
    // Plateaus that begin the record are compared with what there is.
    const first = comparePlateaus(machine, normal, judged.slice(2), anew, 1);
    expect(first[0]).not.toBe(anew[2]);
  });

  it('are told apart by a checksum of all their values', () => {
    expect(plateausChecksum(judged)).toBe(plateausChecksum([...judged]));
    expect(plateausChecksum(judged)).not.toBe(plateausChecksum(judged.slice(1)));
    const [first, ...others] = judged;
    const moved = {
      ...first!,
      values: { ...first!.values, compressorPower_W: { value: 1, uncertainty: 0 } },
    };
    expect(plateausChecksum([moved, ...others])).not.toBe(plateausChecksum(judged));
  });
});

/** Kept figures have 7 digits. */
const asKept = (compared: readonly ComparedPlateau[]) => unpackComparisons(packComparisons(compared));
