import './chart.css';
import type { EChartsOption } from 'echarts';
import { useCallback, useEffect, useMemo, useRef, useState, type ReactNode } from 'react';
import { usePreferences } from '../../app/preferences.js';
import { useUnits } from '../site.js';
import type { ECharts } from '../../charts/register.js';
import type { Table } from '../../charts/evidence/table.js';
import { optionTable } from '../../charts/option-table.js';
import type { ChartTheme } from '../../charts/theme.js';
import { DataTable } from '../table/data-table.js';
import { useZone } from '../zone.js';
import type { UnitSystem } from '../../quantities/unit-system.js';

/** The page's colours as the charts take them; changes with the theme. */
export function useChartTheme(): ChartTheme {
  const { dark } = usePreferences();
  const zone = useZone();
  return useMemo(() => {
    // The attribute is set in an effect of an ancestor, which runs after this: set it here too so that styles are right.
    document.documentElement.dataset.theme = dark ? 'dark' : 'light';
    const style = getComputedStyle(document.documentElement);
    const read = (name: string) => style.getPropertyValue(name).trim();
    return {
      ink: read('--ink'),
      quiet: read('--ink-2'),
      hair: read('--hair'),
      paper: read('--sheet'),
      plot: [read('--plot-1'), read('--plot-2'), read('--plot-3'), read('--plot-4'), read('--plot-5')],
      band: read('--plot-band'),
      limit: read('--plot-limit'),
      mark: read('--plot-mark'),
      good: read('--good'),
      font: read('--sans'),
      zone,
    };
  }, [dark, zone]);
}

export interface Drawing {
  theme: ChartTheme;
  system: UnitSystem;
  narrow: boolean;
}

interface ChartProps {
  /** Builds the option; must be stable while its data are. */
  draw: (drawing: Drawing) => EChartsOption;
  height: number | ((narrow: boolean) => number);
  /** What the picture shows, for people who cannot see it. */
  label: string;
  caption?: ReactNode;
  /** Its data, where these are more than what is drawn; stable likewise. */
  data?: (system: UnitSystem) => Table;
}

/** Narrower than this, px, a chart leaves out what a phone has no room for. */
const narrowUnder = 560;
export const isNarrow = (width: number): boolean => width > 0 && width < narrowUnder;

/** The option with the lines that the reader has switched off in the legend left off. */
export function withSelection(option: EChartsOption, selected: Record<string, boolean>): EChartsOption {
  const { legend } = option;
  if (!legend) return option;
  return {
    ...option,
    legend: Array.isArray(legend) ? legend.map((each) => ({ ...each, selected })) : { ...legend, selected },
  };
}

/** On a narrow page names that do not fit one row are turned over like pages, so that they never lie over the chart. */
export function withLegendInOneRow(option: EChartsOption, narrow: boolean): EChartsOption {
  const { legend } = option;
  if (!narrow || !legend || Array.isArray(legend)) return option;
  const { color } = legend.textStyle ?? {};
  return {
    ...option,
    legend: {
      ...legend,
      type: 'scroll',
      pageIconColor: color,
      pageTextStyle: { color },
      pageIconSize: 12,
    } as EChartsOption['legend'],
  };
}

/** The beginning of what the chart shows, as the name of a file. */
export const fileName = (label: string): string =>
  label
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '')
    .slice(0, 5)
    .join('-');

export function Chart({ draw, height, label, caption, data }: ChartProps) {
  const box = useRef<HTMLDivElement>(null);
  const chart = useRef<ECharts | null>(null);
  const selected = useRef<Record<string, boolean>>({});
  const theme = useChartTheme();
  const system = useUnits();
  const [narrow, setNarrow] = useState(false);
  const [ready, setReady] = useState(false);

  useEffect(() => {
    const observed = box.current;
    if (!observed) return undefined;
    setNarrow(isNarrow(observed.clientWidth));
    const resize = new ResizeObserver(([entry]) => {
      const { width } = entry.contentRect;
      if (width === 0) return; // Not laid out, e.g. in closed details.
      setNarrow(isNarrow(width));
      chart.current?.resize({ width, height: entry.contentRect.height });
    });
    let gone = false;
    // The heaviest part of all comes with the first chart, after everything that is read before.
    void import('../../charts/register.js').then(({ init }) => {
      if (gone) return;
      const made = init(observed);
      chart.current = made;
      resize.observe(observed);
      made.on('legendselectchanged', (event) => {
        selected.current = (event as { selected: Record<string, boolean> }).selected;
      });
      setReady(true);
    });
    return () => {
      gone = true;
      resize.disconnect();
      chart.current?.dispose();
      chart.current = null;
      setReady(false);
    };
  }, []);

  // Waits for the next frame, so that what changes together is drawn once.
  useEffect(() => {
    if (!ready) return;
    const option = withLegendInOneRow(
      withSelection(draw({ theme, system, narrow }), selected.current),
      narrow,
    );
    chart.current?.setOption(option, { notMerge: true, lazyUpdate: true });
  }, [ready, draw, theme, system, narrow]);
  const table = useCallback(
    () => data?.(system) ?? optionTable(draw({ theme, system, narrow })),
    [data, draw, theme, system, narrow],
  );
  const tall = typeof height === 'number' ? height : height(narrow);

  return (
    <figure className="chart">
      <div ref={box} style={{ height: tall }} role="img" aria-label={label} />
      {caption && <figcaption>{caption}</figcaption>}
      <DataTable table={table} name={fileName(label)} />
    </figure>
  );
}
