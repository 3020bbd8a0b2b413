import { describe, expect, it } from 'vitest';
import { slicesOfWindows } from '../../diagnosis/unit/circuit-findings-of.js';
import { runningCircuit } from '../../diagnosis/unit/sample-running.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { plateausOf, plateausOfWindow, toleranceLevel, type WindowPlateaus } from './window-plateaus.js';

const cut = (series: CircuitSeries): WindowPlateaus[] =>
  slicesOfWindows(series).map(({ start_s, slice }) => plateausOfWindow(slice, 'R134a', start_s));

/** Leaving water that creeps by so many kelvins an hour: steady only by a wider tolerance. */
const creeping = (kelvin_h: number) => (series: CircuitSeries, i: number, hour: number) => {
  series.leavingWaterTemperature_K[i]! += kelvin_h * (hour % 2);
};

describe('the plateaus of a window', () => {
  it('are one of two hours where load and water hold still, with a number for each channel', () => {
    const windows = cut(runningCircuit(8));
    expect(windows).toHaveLength(4);
    for (const { start_s, ran_s, cuts } of windows) {
      expect(ran_s).toBe(7200);
      expect(cuts.map(({ level }) => level)).toEqual([0]);
      const [plateau] = cuts[0]!.plateaus;
      expect(plateau!.from_s).toBeGreaterThanOrEqual(start_s);
      expect(plateau!.to_s).toBeLessThan(start_s + 7200);
      expect(plateau!.values.superheatSetpoint_K!.value).toBe(6);
    }
  });

  it('are the same whichever windows are cut before', () => {
    const all = slicesOfWindows(runningCircuit(8));
    const last = all.at(-1)!;
    expect(plateausOfWindow(last.slice, 'R134a', last.start_s)).toEqual(cut(runningCircuit(8)).at(-1));
  });

  it('are none while nothing runs or nothing was sent', () => {
    const noStops = { stops: [], atStart: [], ranUntil_s: null };
    const standing = runningCircuit(2, (series, i) => {
      series.compressorLoad_pct[i] = 0;
      series.compressorPower_W[i] = 0;
    });
    expect(cut(standing)).toEqual([{ start_s: 1_700_006_400, ran_s: 0, cuts: [], ...noStops }]);
    expect(plateausOfWindow(runningCircuit(0), 'R134a', 0)).toEqual({
      start_s: 0,
      ran_s: 0,
      cuts: [],
      ...noStops,
    });
  });

  it('are looked for by wider tolerances where the usual ones find too little', () => {
    // 0.3 K in eight minutes is the tolerance of leaving water: 4 K an hour are 0.53 K in eight minutes.
    const [window] = cut(runningCircuit(2, creeping(4)));
    expect(window!.cuts.length).toBeGreaterThan(0);
    expect(window!.cuts.at(-1)!.level).toBeGreaterThan(0);
    expect(cut(runningCircuit(2))[0]!.cuts).toHaveLength(1);
  });
});

describe('the tolerance of many windows', () => {
  const still = cut(runningCircuit(20));
  const [restless] = cut(runningCircuit(2, creeping(4)));

  it('is the usual one where a quarter of all running is steady by it, and leaves out what is not', () => {
    const windows = [...still, { ...restless!, start_s: still.at(-1)!.start_s + 7200 }];
    expect(toleranceLevel(windows)).toBe(0);
    expect(plateausOf(windows, 0)).toEqual(plateausOf(still, 0));
  });

  it('is a wider one where the machine never holds still, and takes the narrow cuts of the others', () => {
    const windows = [...Array<WindowPlateaus>(9).fill(restless!), still[0]!];
    const level = toleranceLevel(windows);
    expect(level).toBe(restless!.cuts.at(-1)!.level);
    expect(plateausOf([still[0]!], level)).toEqual(still[0]!.cuts[0]!.plateaus);
    expect(toleranceLevel([])).toBe(0);
  });
});
