import type { EChartsOption } from 'echarts';
import { decimals } from '../quantities/format-quantity.js';
import { acrossAxis, band, base, legend, line, points, valueAxis, type Column } from './parts.js';
import type { ChartTheme } from './theme.js';

export interface AgeingCohort {
  cohort: string;
  ageYears: readonly number[];
  low?: Column;
  middle: Column;
  high?: Column;
}

/** A line per cohort over age; the first to ninth tenth as a band where it is given. Dashes tell cohorts apart as well as tone. */
export function ageingOption(
  cohorts: readonly AgeingCohort[],
  axis: string,
  theme: ChartTheme,
): EChartsOption {
  const dashes: (string | number[])[] = ['solid', [6, 4], [2, 3], [9, 3, 2, 3], [12, 4]];
  const lines = cohorts.flatMap((cohort, index) => {
    const color = theme.plot[index % theme.plot.length];
    const middle = line(cohort.cohort, points(cohort.ageYears, cohort.middle), { color, width: 2 });
    middle.lineStyle = { color, width: 2, type: dashes[index % dashes.length] as 'solid' };
    const bands =
      cohort.low && cohort.high && cohorts.length <= 2
        ? band(
            `${cohort.cohort} spread`,
            points(cohort.ageYears, cohort.low),
            points(cohort.ageYears, cohort.high),
            color,
            0,
            0.16,
          )
        : [];
    return [...bands, middle];
  });
  return {
    ...base(theme),
    legend: legend(theme, lines, { top: 4, left: 0, type: 'scroll' }),
    grid: { left: 44, right: 14, top: 54, bottom: 46 },
    xAxis: acrossAxis(theme, 'age, years'),
    yAxis: valueAxis(theme, axis),
    tooltip: {
      ...base(theme).tooltip,
      valueFormatter: (value) => (value === null ? '–' : decimals(Number(value), 3)),
    },
    series: lines,
  };
}
