import type { EChartsOption } from 'echarts';
import { decimals } from '../../quantities/format-quantity.js';
import { acrossAxis, band, base, legend, line, points, valueAxis, type Column } from '../parts.js';
import type { ChartTheme } from '../theme.js';

export interface AgeingCohort {
  cohort: string;
  ageYears: readonly number[];
  low?: Column;
  middle: Column;
  high?: Column;
}

/** Cohorts come by quarter years; where one was not seen, the line breaks. */
const gap = 0.3;

/** A line per cohort over age; the first to ninth tenth as a band where it is given. Dashes tell cohorts apart as well as tone. */
export function ageingOption(
  cohorts: readonly AgeingCohort[],
  axes: { across: string; up: string },
  theme: ChartTheme,
): EChartsOption {
  const dashes: (string | number[])[] = ['solid', [6, 4], [2, 3], [9, 3, 2, 3], [12, 4]];
  const symbols = ['circle', 'diamond', 'triangle', 'rect', 'emptyCircle', 'emptyDiamond', 'emptyRect'];
  const lines = cohorts.flatMap((cohort, index) => {
    const color = theme.plot[index % theme.plot.length];
    const middle = line(cohort.cohort, points(cohort.ageYears, cohort.middle, { gap }), { color, width: 2 });
    // Ages that one module alone has seen stand apart from the next: each is a mark, told apart by shape.
    middle.showSymbol = true;
    middle.symbol = symbols[index % symbols.length];
    middle.symbolSize = 7;
    middle.lineStyle = { color, width: 2, type: dashes[index % dashes.length] as 'solid' };
    const bands =
      cohort.low && cohort.high && cohorts.length <= 2
        ? band(
            `${cohort.cohort} spread`,
            points(cohort.ageYears, cohort.low, { gap }),
            points(cohort.ageYears, cohort.high, { gap }),
            color,
            0,
            0.16,
          )
        : [];
    return [...bands, middle];
  });
  return {
    ...base(theme),
    legend: legend(theme, [], {
      top: 4,
      left: 0,
      data: cohorts.map((cohort) => ({ name: cohort.cohort })),
    }),
    grid: { left: 44, right: 14, top: 84, bottom: 46 },
    xAxis: acrossAxis(theme, axes.across),
    yAxis: valueAxis(theme, axes.up),
    tooltip: {
      ...base(theme).tooltip,
      valueFormatter: (value) => (value === null ? '–' : decimals(Number(value), 3)),
    },
    series: lines,
  };
}
