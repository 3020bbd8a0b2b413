import type { EChartsOption, LineSeriesOption } from 'echarts';
import { decimals } from '../quantities/format-quantity.js';
import { measuresOf, scaleOf, type UnitSystem } from '../quantities/unit-system.js';
import { acrossAxis, base, line, valueAxis, type Point } from './parts.js';
import type { ChartTheme } from './theme.js';

interface Curve {
  pressure_Pa: readonly number[];
  enthalpy_J_kg: readonly number[];
}

export interface CycleData {
  bubbleLine: Curve;
  dewLine: Curve;
  points: readonly {
    name?: string;
    label: string;
    pressure_Pa: number;
    enthalpy_J_kg: number;
    temperature_K: number | null;
  }[];
  path: Curve;
}

const numberAt: Record<string, 'top' | 'bottom' | 'left' | 'right'> = {
  suction: 'right',
  discharge: 'right',
  'condenser-dew': 'top',
  'condenser-bubble': 'top',
  liquid: 'left',
  'evaporator-inlet': 'left',
  'evaporator-dew': 'bottom',
};

/** The dome; its lines end where the property table does, a little under the critical point, and are joined there. */
function domeLines(bubble: Point[], dew: Point[], theme: ChartTheme): LineSeriesOption[] {
  const of = (name: string, data: Point[], dashed = false) => ({
    ...line(name, data, { color: theme.quiet, width: 1.3, dashed }),
    silent: true,
  });
  return [
    of('Bubble line', bubble),
    of('Dew line', dew),
    of('Top of the dome', [...bubble.slice(-1), ...dew.slice(-1)], true),
  ];
}

/** Pressure (logarithmic) over enthalpy: the dome, the circuit's cycle on it, its state points by name. */
export function cycleOption(cycle: CycleData, theme: ChartTheme, system: UnitSystem): EChartsOption {
  // A logarithmic axis has no place for a gauge's zero: the diagram is in absolute pressure, as diagrams are.
  const pressure = scaleOf('pressure', measuresOf(system));
  const enthalpy = scaleOf('enthalpy', system);
  const temperature = scaleOf('temperature', system);
  const pairs = (curve: Curve) =>
    curve.pressure_Pa.map((value, index): [number, number] => [
      enthalpy.convert(curve.enthalpy_J_kg[index]),
      pressure.convert(value),
    ]);
  // The dome reaches far below any cycle: the picture begins a little under the evaporating pressure.
  const lowest = Math.min(
    ...(cycle.path.pressure_Pa.length > 0 ? cycle.path.pressure_Pa : cycle.dewLine.pressure_Pa),
  );
  const highest = Math.max(...cycle.dewLine.pressure_Pa, ...cycle.path.pressure_Pa);
  return {
    ...base(theme),
    grid: { left: 52, right: 20, top: 30, bottom: 46 },
    xAxis: acrossAxis(theme, `enthalpy, ${enthalpy.unit}`, {
      axisLine: { onZero: false, lineStyle: { color: theme.quiet } },
    }),
    yAxis: {
      ...valueAxis(theme, `pressure, ${pressure.unit}`),
      type: 'log' as const,
      logBase: 2,
      splitNumber: 10,
      min: pressure.convert(lowest * 0.6),
      max: pressure.convert(highest * 1.1),
      axisLine: { show: false, onZero: false },
      axisLabel: { ...valueAxis(theme, '').axisLabel, showMinLabel: false, showMaxLabel: false },
    },
    tooltip: {
      ...base(theme).tooltip,
      trigger: 'item',
      formatter: (entry: unknown) => {
        const { name, value } = entry as { name: string; value: [number, number, number | null] };
        if (!name) return '';
        const warm =
          value[2] === null || value[2] === undefined
            ? ''
            : `, ${decimals(temperature.convert(value[2]), 1)} ${temperature.unit}`;
        return `${name}: ${decimals(value[1], 2)} ${pressure.unit}, ${decimals(value[0], 1)} ${enthalpy.unit}${warm}`;
      },
    },
    series: [
      ...domeLines(pairs(cycle.bubbleLine), pairs(cycle.dewLine), theme),
      { ...line('Cycle', pairs(cycle.path), { color: theme.plot[0], width: 2 }), silent: true },
      {
        type: 'scatter',
        name: 'States',
        symbolSize: 8,
        itemStyle: { color: theme.plot[1] },
        animation: false,
        data: cycle.points.map((point, index) => ({
          // Neighbours lie close together: numbers stand where the cycle leaves room, names in the list under it.
          label: { position: numberAt[point.name ?? ''] ?? ('top' as const), formatter: String(index + 1) },
          name: `${index + 1} ${point.label}`,
          value: [
            enthalpy.convert(point.enthalpy_J_kg),
            pressure.convert(point.pressure_Pa),
            point.temperature_K ?? NaN,
          ],
        })),
        label: {
          show: true,
          position: 'top',
          color: theme.ink,
          fontFamily: theme.font,
          fontSize: 13,
          fontWeight: 600,
        },
      },
    ],
  };
}
