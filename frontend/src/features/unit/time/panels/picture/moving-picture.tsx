import { useEffect, useLayoutEffect, useRef } from 'react';
import {
  panelEdge,
  panelOption,
  timelineWindow,
  type Timeline,
} from '../../../../../charts/timeline/option.js';
import { panels, panelTops } from '../../../../../charts/timeline/panels.js';
import type { ChartTheme } from '../../../../../charts/theme.js';
import type { Span } from '../../span.js';
import { PicturePainter } from './picture-painter.js';
import { Turns } from './turns.js';

interface MovingPictureProps {
  timeline: Timeline;
  theme: ChartTheme;
  /** How far the readings reach. */
  known: Span;
  shown: Span;
  /** A gesture goes on. */
  moving: boolean;
  /** Where the panels lie in the chart, px. */
  left: number;
  width: number;
  height: number;
  /** What the picture shows, for people who cannot see it. */
  label: string;
}

/** More pixels than two for one of the page cannot be told apart, and cost time and memory. */
const mostDense = 2;

/**
 * The lines of all panels, seen through a window and moved under it. Each panel is a picture of its own: all of them drawn at
 * once would hold up a slow machine for a fifth of a second.
 */
export function MovingPicture({
  timeline,
  theme,
  known,
  shown,
  moving,
  left,
  width,
  height,
  label,
}: MovingPictureProps) {
  const pane = useRef<HTMLDivElement>(null);
  /** One for each panel, once the library has come. */
  const painters = useRef<readonly PicturePainter[]>([]);
  // What there is to draw when the library has come.
  const newest = useRef<() => void>(() => undefined);

  useEffect(() => {
    const boxes = [...pane.current!.children] as HTMLElement[];
    let stop = () => {};
    let gone = false;
    // The heaviest part of all comes with the first chart, after everything that is read before.
    void import('../../../../../charts/register.js').then(({ init }) => {
      if (gone) return;
      const turns = new Turns();
      const charts = boxes.map((box) =>
        init(box, null, {
          devicePixelRatio: Math.min(window.devicePixelRatio, mostDense),
          width: 1,
          height: 1,
        }),
      );
      painters.current = charts.map((chart, panel) => new PicturePainter(chart, boxes[panel], turns));
      newest.current();
      stop = () => {
        for (const painter of painters.current) painter.stop();
        for (const chart of charts) chart.dispose();
        painters.current = [];
      };
    });
    return () => {
      gone = true;
      stop();
    };
  }, []);

  const take = () => {
    painters.current.forEach((painter, panel) =>
      painter.take({
        draw: (span: Span, pixels: number) =>
          panelOption(timeline, panel, { ...timelineWindow(span, theme), width: pixels }),
        known,
        width,
        height: panels[panel].height + 2 * panelEdge,
      }),
    );
  };
  const show = () => {
    for (const painter of painters.current) painter.show(shown, moving);
  };
  newest.current = () => {
    show();
    take();
  };
  useEffect(take, [timeline, theme, known, width, height]);
  useLayoutEffect(show, [shown]);
  const { tops } = panelTops(timeline.narrow);
  return (
    <div className="time-window" ref={pane} style={{ left, width, height }} role="img" aria-label={label}>
      {panels.map(({ height: tall }, panel) => (
        <div
          key={panel}
          className="time-picture"
          style={{ top: tops[panel] - panelEdge, height: tall + 2 * panelEdge }}
        />
      ))}
    </div>
  );
}
