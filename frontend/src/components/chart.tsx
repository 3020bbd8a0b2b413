import './chart.css';
import type { EChartsOption } from 'echarts';
import { useEffect, useMemo, useRef, useState, type ReactNode } from 'react';
import { usePreferences } from '../app/preferences.js';
import { init, type ECharts } from '../charts/register.js';
import type { ChartTheme } from '../charts/theme.js';
import { useZone } from './zone.js';
import type { UnitSystem } from '../quantities/unit-system.js';

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
  onZoom?: (from_ms: number, to_ms: number) => void;
}

export function Chart({ draw, height, label, caption, onZoom }: ChartProps) {
  const box = useRef<HTMLDivElement>(null);
  const chart = useRef<ECharts | null>(null);
  const theme = useChartTheme();
  const { units: system } = usePreferences();
  const [narrow, setNarrow] = useState(false);
  const zoomed = useRef(onZoom);
  zoomed.current = onZoom;

  useEffect(() => {
    if (!box.current) return undefined;
    const made = init(box.current);
    const observed = box.current;
    setNarrow(observed.clientWidth > 0 && observed.clientWidth < 560);
    chart.current = made;
    const resize = new ResizeObserver(([entry]) => {
      const { width } = entry.contentRect;
      if (width === 0) return; // Not laid out, e.g. in closed details.
      setNarrow(width < 560);
      made.resize({ width, height: entry.contentRect.height });
    });
    resize.observe(observed);
    made.on('datazoom', () => {
      const zoom = (made.getOption().dataZoom as { startValue: number; endValue: number }[])[0];
      zoomed.current?.(zoom.startValue, zoom.endValue);
    });
    return () => {
      resize.disconnect();
      made.dispose();
      chart.current = null;
    };
  }, []);

  useEffect(() => {
    chart.current?.setOption(draw({ theme, system, narrow }), { notMerge: true });
  }, [draw, theme, system, narrow]);
  const tall = typeof height === 'number' ? height : height(narrow);

  return (
    <figure className="chart">
      <div ref={box} style={{ height: tall }} role="img" aria-label={label} />
      {caption && <figcaption>{caption}</figcaption>}
    </figure>
  );
}
