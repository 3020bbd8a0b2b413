import type { EChartsOption } from 'echarts';
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

/** A power loss on one time axis: opening, pressures meeting, superheat at the restart, the module's voltage. */
export function replayOption(data: ReplayData, theme: ChartTheme, system: UnitSystem): EChartsOption {
  const difference = scaleOf('temperature-difference', system);
  const pressure = scaleOf('pressure', system);
  const place = onClock(theme);
  const last = Math.max(data.loss.from_s, ...data.circuits.map((circuit) => circuit.time_s.at(-1) ?? 0));
  const spans = [{ from: place(data.loss.from_s), to: place(data.loss.to_s ?? last) }];
  const series = data.circuits.flatMap((circuit) => {
    const words = data.circuits.length > 1 ? `, circuit ${circuit.circuit}` : '';
    const dashed = circuit !== data.circuits[0];
    const pairs = (column: Column, convert?: (value: number) => number): Point[] =>
      points(circuit.time_s, column, { gap: 60, place, convert });
    const [a, b, , d] = theme.plot;
    const superheat = line(`Superheat${words}`, pairs(circuit.superheat_K, difference.convert), {
      color: a,
      panel: 2,
      dashed,
    });
    superheat.markLine = limitLine(theme, difference.convert(circuit.floodbackLimit_K), 'floodback limit');
    return [
      line(`Opening${words}`, pairs(circuit.valveOpening_pct), { color: b, dashed }),
      line(`Suction${words}`, pairs(circuit.suctionPressure_Pa, pressure.convert), {
        color: a,
        panel: 1,
        dashed,
      }),
      line(`Discharge${words}`, pairs(circuit.dischargePressure_Pa, pressure.convert), {
        color: d,
        panel: 1,
        dashed,
      }),
      superheat,
    ];
  });
  const voltage = line(
    'Module voltage',
    points(data.backup.time_s, data.backup.voltage_V, { gap: 300, place }),
    { color: theme.plot[2], panel: 3 },
  );
  const all = [...series, voltage];
  // One axis for all panels, whatever each was sent.
  const times = [...data.circuits.flatMap((circuit) => [circuit.time_s[0], last]), data.loss.from_s].filter(
    (time) => time !== undefined,
  );
  const ends = { min: place(Math.min(...times)), max: place(Math.max(...times)) };
  const seen = new Set<number>();
  for (const entry of all) {
    if (seen.has(entry.yAxisIndex as number)) continue;
    seen.add(entry.yAxisIndex as number);
    entry.markArea = stretches(theme, spans);
  }
  const panels = [
    { text: 'Valve opening, %', height: 80 },
    { text: `Pressures, ${pressure.unit} absolute`, height: 90 },
    { text: `Superheat, ${difference.unit}`, height: 90 },
    { text: 'Backup module, V', height: 80 },
  ];
  let top = 26;
  const tops = panels.map((panel) => {
    const at = top;
    top += panel.height + 44;
    return at;
  });
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
      const lines = all.filter((entry) => entry.yAxisIndex === index);
      return lines.length > 1 ? [legend(theme, lines, { top: tops[index] - 24, right: 8 })] : [];
    }),
    grid: panels.map((panel, index) => ({ left: 44, right: 12, top: tops[index], height: panel.height })),
    xAxis: panels.map((_, index) =>
      timeAxis(theme, {
        gridIndex: index,
        ...ends,
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
    series: all,
  };
}
