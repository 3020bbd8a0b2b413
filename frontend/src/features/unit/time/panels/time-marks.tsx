import { useCallback, useLayoutEffect, useRef, useState } from 'react';
import { markerPlaces, type Marker } from '../../../../charts/timeline/markers.js';
import { timelineWindow } from '../../../../charts/timeline/option.js';
import { panels, panelSides, panelTops } from '../../../../charts/timeline/panels.js';
import type { ChartTheme } from '../../../../charts/theme.js';
import { timeMarks } from '../../../../charts/timeline/time-axis.js';
import type { LiveSpan } from '../live-span.js';
import type { Span } from '../span.js';
import { beyond, isUsedUp, placing, widened } from './picture/moved-picture.js';

interface TimeMarksProps {
  live: LiveSpan;
  markers: readonly Marker[];
  theme: ChartTheme;
  narrow: boolean;
  /** Of the whole chart, px. */
  width: number;
}

const tick = 5;
/** Words reach over the ends of the time axis by this much at most, px. */
const overhang = 30;
/** Marks can be made for any time. */
const ever: Span = { from_s: -Infinity, to_s: Infinity };

/** What marks are made for; while the reader moves, further on either side than is seen, so that they can be moved. */
interface Made {
  of: Span;
  further: boolean;
}

/** Marks for what is shown: moved as they are while the reader drags, made anew while the reader zooms. */
function useMoved(live: LiveSpan, across: number) {
  const [made, make] = useState<Made>({ of: live.now, further: live.moving });
  const newest = useRef(made);
  /** Boxes around the pictures: one that is moved itself has its words laid out anew each time. */
  const moved = useRef<(HTMLElement | null)[]>([]);
  const place = useCallback(
    ({ of, further }: Made) => {
      const span = further ? widened(of) : of;
      const wide = across * (further ? 1 + 2 * beyond : 1);
      const { shift, stretch } = placing(span, wide, live.now, across);
      for (const each of moved.current) if (each) each.style.transform = `translateX(${Math.round(shift)}px)`;
      return { span, fits: Math.abs(stretch - 1) < 1e-6 };
    },
    [live, across],
  );
  useLayoutEffect(() => void place(made), [place, made]);
  useLayoutEffect(() => {
    const follow = (now: Span, moving: boolean) => {
      const { further } = newest.current;
      if (moving && further) {
        const { span, fits } = place(newest.current);
        if (fits && !isUsedUp(span, 1, now, ever)) return;
      }
      newest.current = { of: now, further: moving };
      make(newest.current);
    };
    return live.follow(follow);
  }, [live, place]);
  return { made, moved };
}

/** What moves with the lines and is read: the marks of the time axis, and markers through every panel. */
export function TimeMarks({ live, markers, theme, narrow, width }: TimeMarksProps) {
  const { left, right } = panelSides(narrow);
  const { tops, height } = panelTops(narrow);
  const across = Math.max(1, width - left - right);
  const { made, moved } = useMoved(live, across);
  const wide = across * (made.further ? 1 + 2 * beyond : 1);
  const window = timelineWindow(made.further ? widened(made.of) : made.of, theme);
  const marks = timeMarks(window.from, window.to, wide);
  const places = markerPlaces(markers, window, theme);
  const bottoms = panels.map((panel, index) => tops[index] + panel.height);
  const foot = bottoms.at(-1)!;
  const down = (along: number) => `M${(along * wide).toFixed(1)}`;
  return (
    <>
      <div className="time-marks" style={{ left, width: across, height }} aria-hidden="true">
        <div ref={(element) => void (moved.current[0] = element)}>
          <svg width={wide} height={height}>
            <path
              className="time-ticks"
              d={marks
                .flatMap(({ along }) => bottoms.map((bottom) => `${down(along)} ${bottom}v${tick}`))
                .join('')}
            />
            <path
              className="time-markers"
              d={places
                .flatMap(({ along }) =>
                  panels.map((panel, index) => `${down(along)} ${tops[index]}v${panel.height}`),
                )
                .join('')}
            />
          </svg>
        </div>
      </div>
      <div
        className="time-marks"
        style={{ left: left - overhang, width: across + overhang + Math.min(overhang, right), height }}
        aria-hidden="true"
      >
        <div
          ref={(element) => void (moved.current[1] = element)}
          className="time-words"
          style={{ left: overhang }}
        >
          <svg width={wide} height={height}>
            {marks.map(({ along, words }, index) => (
              <text key={index} x={along * wide} y={foot + 20} textAnchor="middle">
                {words}
              </text>
            ))}
            {places.map(({ along, words }, index) => (
              <text
                key={index}
                className="time-marker"
                transform={`translate(${along * wide - 4} ${tops[0] + 4}) rotate(-90)`}
                textAnchor="end"
              >
                {words}
              </text>
            ))}
          </svg>
        </div>
      </div>
    </>
  );
}
