import '../../../../components/chart/chart.css';
import './time-panels.css';
import { useCallback, useEffect, useMemo, useRef, useState, type RefObject } from 'react';
import { optionTable } from '../../../../charts/option-table.js';
import type { TimelineData, WaterData } from '../../../../charts/timeline/data.js';
import type { Marker } from '../../../../charts/timeline/markers.js';
import { timeline as timelineOf, timelineOption } from '../../../../charts/timeline/option.js';
import { panelSides, timelineHeight } from '../../../../charts/timeline/panels.js';
import { fileName, isNarrow, useChartTheme } from '../../../../components/chart/chart.js';
import { useUnits } from '../../../../components/site.js';
import { DataTable } from '../../../../components/table/data-table.js';
import type { LiveSpan } from '../live-span.js';
import type { Span } from '../span.js';
import type { Change } from '../use-time-view.js';
import { Cursor } from './cursor.js';
import { MovingPicture } from './picture/moving-picture.js';
import { PanelFrame, PanelHeads } from './panel-frame.js';
import { TimeMarks } from './time-marks.js';
import { useTimeGestures } from './use-time-gestures.js';

const axisOf = (width: number) => panelSides(isNarrow(width));

/** Width of a box, px; 0 until it is laid out. */
function useWidth(box: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const observed = box.current!;
    setWidth(observed.clientWidth);
    const resize = new ResizeObserver(([entry]) => {
      // Not laid out, e.g. in closed details.
      if (entry.contentRect.width > 0) setWidth(entry.contentRect.width);
    });
    resize.observe(observed);
    return () => resize.disconnect();
  }, [box]);
  return width;
}

/** Names of lines that the reader has switched off. */
function useHidden() {
  const [hidden, setHidden] = useState<ReadonlySet<string>>(new Set());
  const toggle = useCallback((name: string) => {
    setHidden((before) => {
      const next = new Set(before);
      if (!next.delete(name)) next.add(name);
      return next;
    });
  }, []);
  return { hidden, toggle };
}

interface TimePanelsProps {
  series: TimelineData;
  water: WaterData | null;
  markers: readonly Marker[];
  /** Where a mains loss that lasts ends in the picture, s. */
  end_s: number;
  live: LiveSpan;
  /** A gesture goes on. */
  moving: boolean;
  move: (by: Change) => void;
  /** What the panels show, for people who cannot see them. */
  label: string;
}

/** One circuit's readings on one time axis, panel over panel, moved by drag, pinch and wheel. */
export function TimePanels({ series, water, markers, end_s, live, moving, move, label }: TimePanelsProps) {
  const box = useRef<HTMLDivElement>(null);
  const width = useWidth(box);
  const narrow = isNarrow(width);
  const theme = useChartTheme();
  const system = useUnits();
  const { hidden, toggle } = useHidden();
  useTimeGestures(box, { live, move, axisOf });
  const timeline = useMemo(
    () => timelineOf(series, water, { end_s, narrow, hidden }, theme, system),
    [series, water, end_s, narrow, hidden, theme, system],
  );
  const table = useCallback(
    () => optionTable(timelineOption(timelineOf(series, water, { end_s, narrow: false }, theme, system))),
    [series, water, end_s, theme, system],
  );
  const known = useMemo<Span>(
    () => ({ from_s: series.time_s[0] ?? 0, to_s: series.time_s.at(-1) ?? 0 }),
    [series],
  );
  const { left, right } = panelSides(narrow);
  const height = timelineHeight(narrow);
  return (
    <figure className="chart">
      <div className="time-panels" ref={box} style={{ height }}>
        <PanelFrame timeline={timeline} width={width} />
        <MovingPicture
          timeline={timeline}
          theme={theme}
          known={known}
          live={live}
          left={left}
          width={Math.max(0, width - left - right)}
          height={height}
          label={label}
        />
        <TimeMarks live={live} markers={markers} theme={theme} narrow={narrow} width={width} />
        <PanelHeads timeline={timeline} hidden={hidden} toggle={toggle} />
        <Cursor box={box} timeline={timeline} theme={theme} shown={moving ? null : live.now} width={width} />
      </div>
      <DataTable table={table} name={fileName(label)} />
    </figure>
  );
}
