import { markerPlaces, type Marker } from '../../../../charts/timeline/markers.js';
import { timelineWindow } from '../../../../charts/timeline/option.js';
import { panels, panelSides, panelTops } from '../../../../charts/timeline/panels.js';
import type { ChartTheme } from '../../../../charts/theme.js';
import { timeMarks } from '../../../../charts/timeline/time-axis.js';
import type { Span } from '../span.js';

interface TimeMarksProps {
  shown: Span;
  markers: readonly Marker[];
  theme: ChartTheme;
  narrow: boolean;
  /** Of the whole chart, px. */
  width: number;
}

const tick = 5;

/** What moves with the lines and is read: the marks of the time axis, and markers through every panel. */
export function TimeMarks({ shown, markers, theme, narrow, width }: TimeMarksProps) {
  const { left, right } = panelSides(narrow);
  const { tops, height } = panelTops(narrow);
  const across = Math.max(1, width - left - right);
  const window = timelineWindow(shown, theme);
  const x = (along: number) => left + along * across;
  const marks = timeMarks(window.from, window.to, across);
  const places = markerPlaces(markers, window, theme);
  const bottoms = panels.map((panel, index) => tops[index] + panel.height);
  const foot = bottoms.at(-1)!;
  return (
    <svg className="time-marks" width={width} height={height} aria-hidden="true">
      <path
        className="time-ticks"
        d={marks
          .flatMap(({ along }) => bottoms.map((bottom) => `M${x(along).toFixed(1)} ${bottom}v${tick}`))
          .join('')}
      />
      {marks.map(({ along, words }, index) => (
        <text key={index} x={x(along)} y={foot + 20} textAnchor="middle">
          {words}
        </text>
      ))}
      <path
        className="time-markers"
        d={places
          .flatMap(({ along }) =>
            panels.map((panel, index) => `M${x(along).toFixed(1)} ${tops[index]}v${panel.height}`),
          )
          .join('')}
      />
      {places.map(({ along, words }, index) => (
        <text
          key={index}
          className="time-marker"
          transform={`translate(${x(along) - 4} ${tops[0] + 4}) rotate(-90)`}
          textAnchor="end"
        >
          {words}
        </text>
      ))}
    </svg>
  );
}
