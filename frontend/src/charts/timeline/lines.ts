import type { LineSeriesOption } from 'echarts';
import { scaleOf, type UnitSystem } from '../../quantities/unit-system.js';
import { band, line, onClock, points, stretches, type Column, type Point } from '../parts.js';
import type { ChartTheme } from '../theme.js';
import type { TimelineData, WaterData } from './data.js';

/** From a column to the points of a line, broken where the readings are silent. */
type Draw = (column: Column, convert?: (value: number) => number) => Point[];

/** `sign` times two standard uncertainties away from superheat, K. */
const apart = (data: TimelineData, sign: number): Column =>
  data.superheat_K.map((value, index) => {
    const uncertainty = data.superheatUncertainty_K[index] ?? null;
    return value === null || uncertainty === null ? null : value + sign * 2 * uncertainty;
  });

function superheatLines(
  data: TimelineData,
  draw: Draw,
  theme: ChartTheme,
  system: UnitSystem,
): LineSeriesOption[] {
  const { convert } = scaleOf('temperature-difference', system);
  return [
    ...band(
      'Lowest to highest',
      draw(data.superheatMinimum_K, convert),
      draw(data.superheatMaximum_K, convert),
      theme.hair,
    ),
    ...band(
      'Uncertainty, two standard',
      draw(apart(data, -1), convert),
      draw(apart(data, 1), convert),
      theme.band,
    ),
    line('Superheat', draw(data.superheat_K, convert), { color: theme.plot[0], width: 1.8 }),
    line('Setpoint', draw(data.superheatSetpoint_K, convert), {
      color: theme.plot[2],
      dashed: true,
      step: true,
    }),
  ];
}

function openingLines(data: TimelineData, draw: Draw, theme: ChartTheme): LineSeriesOption[] {
  const panel = 1;
  return [
    ...band(
      'Opening, lowest to highest',
      draw(data.valveOpeningMinimum_pct),
      draw(data.valveOpeningMaximum_pct),
      theme.hair,
      panel,
    ),
    line('Valve opening', draw(data.valveOpening_pct), { color: theme.plot[1], panel, width: 1.8 }),
    line('Compressor load', draw(data.compressorLoad_pct), { color: theme.plot[4], panel, dashed: true }),
  ];
}

function pressureLines(
  data: TimelineData,
  draw: Draw,
  theme: ChartTheme,
  system: UnitSystem,
): LineSeriesOption[] {
  const { convert } = scaleOf('pressure', system);
  const [suction, , , discharge] = theme.plot;
  return [
    line('Suction', draw(data.suctionPressure_Pa, convert), { color: suction, panel: 2 }),
    line('Discharge', draw(data.dischargePressure_Pa, convert), { color: discharge, panel: 2 }),
  ];
}

function temperatureLines(
  data: TimelineData,
  water: WaterData | null,
  draw: Draw,
  drawWater: Draw,
  theme: ChartTheme,
  system: UnitSystem,
): LineSeriesOption[] {
  const { convert } = scaleOf('temperature', system);
  const [suction, wet, liquid, discharge, ambient] = theme.plot;
  const dashed = true;
  const panel = 3;
  const of = (name: string, column: Column, color: string, look = {}) =>
    line(name, draw(column, convert), { color, panel, ...look });
  const ofWater = (name: string, column: Column | undefined, color: string, look = {}) =>
    line(name, drawWater(column ?? [], convert), { color, panel, ...look });
  return [
    of('Suction gas', data.suctionTemperature_K, suction),
    of('Evaporating, dew', data.suctionSaturationTemperature_K, suction, { dashed }),
    of('Discharge gas', data.dischargeTemperature_K, discharge),
    of('Condensing, dew', data.dischargeSaturationTemperature_K, discharge, { dashed }),
    of('Liquid', data.liquidTemperature_K, liquid),
    ofWater('Water in', water?.enteringTemperature_K, wet),
    ofWater('Water out', water?.leavingTemperature_K, wet, { dashed }),
    ofWater('Ambient', water?.ambientTemperature_K, ambient, { dashed }),
  ];
}

const wasSent = (entry: LineSeriesOption) => (entry.data as Point[]).some(([, value]) => value !== null);

/** Water is sent every few minutes: shorter silence is none, s. */
const waterGap_s = 400;

/** The lines of all panels, those left out that were never sent. A mains loss that lasts is shaded up to `end_s`. */
export function timelineLines(
  data: TimelineData,
  water: WaterData | null,
  end_s: number,
  theme: ChartTheme,
  system: UnitSystem,
): LineSeriesOption[] {
  const place = onClock(theme);
  const gap = Math.max(3 * data.resolution_s, 45);
  const draw: Draw = (column, convert) => points(data.time_s, column, { gap, place, convert });
  const drawWater: Draw = (column, convert) =>
    water === null ? [] : points(water.time_s, column, { gap: Math.max(gap, waterGap_s), place, convert });
  const lines = [
    ...superheatLines(data, draw, theme, system),
    ...openingLines(data, draw, theme),
    ...pressureLines(data, draw, theme, system),
    ...temperatureLines(data, water, draw, drawWater, theme, system),
  ].filter(wasSent);
  const losses = data.mainsLosses.map((loss) => ({
    from: place(loss.from_s),
    to: place(loss.to_s ?? end_s),
  }));
  for (const entry of lines)
    if (entry.name === 'Superheat' || entry.name === 'Valve opening')
      entry.markArea = stretches(theme, losses);
  return lines;
}
