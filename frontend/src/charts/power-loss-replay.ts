import { extent, sum } from 'd3-array';
import type { EChartsOption, LineSeriesOption } from 'echarts';
import { decimals } from '../quantities/format-quantity.js';
import { scaleOf, type UnitSystem } from '../quantities/unit-system.js';
import {
  base,
  legend,
  line,
  limitLine,
  onClock,
  points,
  stretches,
  timeAxis,
  timeLabels,
  valueAxis,
  type Column,
  type Point,
} from './parts.js';
import type { ChartTheme } from './theme.js';

export interface ReplayData {
  circuits: readonly {
    circuit: number;
    time_s: readonly number[];
    superheat_K: Column;
    valveOpening_pct: Column;
    suctionPressure_Pa: Column;
    dischargePressure_Pa: Column;
    floodbackLimit_K: number;
  }[];
  backup: { time_s: readonly number[]; voltage_V: Column };
  loss: { from_s: number; to_s: number | null };
}

export const replayHeight = 560;

/** One circuit's lines; dashed where another circuit was drawn before it. */
function circuitLines(
  circuit: ReplayData['circuits'][number],
  { words, dashed }: { words: string; dashed: boolean },
  theme: ChartTheme,
  system: UnitSystem,
): LineSeriesOption[] {
  const difference = scaleOf('temperature-difference', system);
  const pressure = scaleOf('pressure', system);
  const place = onClock(theme);
  const pairs = (column: Column, convert?: (value: number) => number): Point[] =>
    points(circuit.time_s, column, { gap: 60, place, convert });
  const [low, valve, , high] = theme.plot;
  const superheat = line(`Superheat${words}`, pairs(circuit.superheat_K, difference.convert), {
    color: low,
    panel: 2,
    dashed,
  });
  superheat.markLine = limitLine(theme, difference.convert(circuit.floodbackLimit_K), 'floodback limit');
  return [
    line(`Opening${words}`, pairs(circuit.valveOpening_pct), { color: valve, dashed }),
    line(`Suction${words}`, pairs(circuit.suctionPressure_Pa, pressure.convert), {
      color: low,
      panel: 1,
      dashed,
    }),
    line(`Discharge${words}`, pairs(circuit.dischargePressure_Pa, pressure.convert), {
      color: high,
      panel: 1,
      dashed,
    }),
    superheat,
  ];
}

/** The lines of all panels, the loss shaded once in each. */
function replayLines(
  data: ReplayData,
  last_s: number,
  theme: ChartTheme,
  system: UnitSystem,
): LineSeriesOption[] {
  const place = onClock(theme);
  const lines = data.circuits.flatMap((circuit, index) =>
    circuitLines(
      circuit,
      { words: data.circuits.length > 1 ? `, circuit ${circuit.circuit}` : '', dashed: index > 0 },
      theme,
      system,
    ),
  );
  const voltage = points(data.backup.time_s, data.backup.voltage_V, { gap: 300, place });
  lines.push(line('Module voltage', voltage, { color: theme.plot[2], panel: 3 }));
  const loss = [{ from: place(data.loss.from_s), to: place(data.loss.to_s ?? last_s) }];
  const panels = new Set<unknown>();
  for (const entry of lines) {
    if (panels.has(entry.yAxisIndex)) continue;
    panels.add(entry.yAxisIndex);
    entry.markArea = stretches(theme, loss);
  }
  return lines;
}

const between = 44;

/** A power loss on one time axis: opening, pressures meeting, superheat at the restart, the module's voltage. */
export function replayOption(data: ReplayData, theme: ChartTheme, system: UnitSystem): EChartsOption {
  const place = onClock(theme);
  const ends = data.circuits.flatMap(({ time_s }) => [time_s[0], time_s.at(-1)]);
  const [first_s, last_s] = extent([data.loss.from_s, ...ends.filter((time) => time !== undefined)]);
  const lines = replayLines(data, last_s!, theme, system);
  const panels = [
    { text: 'Valve opening, %', height: 80 },
    { text: `Pressures, ${scaleOf('pressure', system).unit}`, height: 90 },
    { text: `Superheat, ${scaleOf('temperature-difference', system).unit}`, height: 90 },
    { text: 'Backup module, V', height: 80 },
  ];
  const tops = panels.map((_, index) => 26 + sum(panels.slice(0, index), (panel) => panel.height + between));
  return {
    ...base(theme),
    title: panels.map((panel, index) => ({
      text: panel.text,
      left: 0,
      top: tops[index] - 24,
      textStyle: { color: theme.ink, fontSize: 14, fontWeight: 600 as const, fontFamily: theme.font },
    })),
    // Panels of several lines name them; the others are named by their title.
    legend: panels.flatMap((_, index) => {
      const named = lines.filter((entry) => entry.yAxisIndex === index);
      return named.length > 1 ? [legend(theme, named, { top: tops[index] - 24, right: 8 })] : [];
    }),
    grid: panels.map((panel, index) => ({ left: 44, right: 12, top: tops[index], height: panel.height })),
    // One axis for all panels, whatever each was sent.
    xAxis: panels.map((_, index) =>
      timeAxis(theme, {
        gridIndex: index,
        min: place(first_s!),
        max: place(last_s!),
        axisLabel: {
          show: index === panels.length - 1,
          color: theme.quiet,
          hideOverlap: true,
          formatter: timeLabels,
        },
      }),
    ),
    yAxis: panels.map((_, index) =>
      valueAxis(theme, '', {
        gridIndex: index,
        splitNumber: 3,
        ...(index === 0 ? { min: 0, max: 100, interval: 50 } : {}),
      }),
    ),
    axisPointer: { link: [{ xAxisIndex: 'all' }] },
    tooltip: {
      ...base(theme).tooltip,
      valueFormatter: (value) => (value === null ? '–' : decimals(Number(value), 2)),
    },
    series: lines,
  };
}
