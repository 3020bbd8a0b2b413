import type { LineSeriesOption } from 'echarts';
import { describe, expect, it } from 'vitest';
import { replayOption, type ReplayData } from './power-loss-replay.js';
import { plainTheme } from './theme.js';

const circuit = (number: number): ReplayData['circuits'][number] => ({
  circuit: number,
  time_s: [0, 10, 20],
  superheat_K: [6, 5, 4],
  valveOpening_pct: [50, 20, 0],
  suctionPressure_Pa: [3e5, 3.5e5, 4e5],
  dischargePressure_Pa: [9e5, 8e5, 7e5],
  floodbackLimit_K: 2,
});
const replay: ReplayData = {
  circuits: [circuit(1), circuit(2)],
  backup: { time_s: [0, 20], voltage_V: [20, 17.5] },
  loss: { from_s: 5, to_s: null },
};

describe('the replay of a power loss', () => {
  const option = replayOption(replay, plainTheme, 'si');
  const lines = option.series as LineSeriesOption[];
  const named = (name: string) => lines.find((entry) => entry.name === name)!;

  it('shades the loss once in each panel, to the last reading where mains has not come back', () => {
    const shaded = lines.filter((entry) => entry.markArea);
    expect(shaded.map((entry) => entry.yAxisIndex)).toEqual([0, 1, 2, 3]);
    for (const entry of shaded) expect(entry.markArea!.data).toEqual([[{ xAxis: 5_000 }, { xAxis: 20_000 }]]);
  });
  it('tells the circuits apart by name and dashes', () => {
    expect(named('Superheat, circuit 1').lineStyle!.type).toBe('solid');
    expect(named('Superheat, circuit 2').lineStyle!.type).not.toBe('solid');
    expect(named('Suction, circuit 1').data).toEqual([
      [0, 3],
      [10_000, 3.5],
      [20_000, 4],
    ]);
  });
  it('has one time axis for all panels, and no panel over another', () => {
    const axes = option.xAxis as { min: number; max: number }[];
    expect(axes.map(({ min, max }) => [min, max])).toEqual(Array(4).fill([0, 20_000]));
    const grids = option.grid as { top: number; height: number }[];
    grids.slice(1).forEach((grid, index) => {
      expect(grid.top).toBeGreaterThan(grids[index].top + grids[index].height);
    });
  });
});
