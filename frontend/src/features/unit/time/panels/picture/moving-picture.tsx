import { useEffect, useLayoutEffect, useRef } from 'react';
import { timelineOption, timelineWindow, type Timeline } from '../../../../../charts/timeline/option.js';
import type { ChartTheme } from '../../../../../charts/theme.js';
import type { Span } from '../../span.js';
import { PicturePainter } from './picture-painter.js';

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

/** The lines of all panels, seen through a window and moved under it. */
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
  const element = useRef<HTMLDivElement>(null);
  const painter = useRef<PicturePainter | null>(null);
  // What there is to draw when the library has come.
  const newest = useRef<() => void>(() => undefined);

  useEffect(() => {
    const box = element.current!;
    let stop = () => {
      stop = () => undefined;
    };
    let gone = false;
    // The heaviest part of all comes with the first chart, after everything that is read before.
    void import('../../../../../charts/register.js').then(({ init }) => {
      if (gone) return;
      const chart = init(box, null, {
        devicePixelRatio: Math.min(window.devicePixelRatio, mostDense),
        width: 1,
        height: 1,
      });
      const made = new PicturePainter(chart, box);
      painter.current = made;
      newest.current();
      stop = () => {
        made.stop();
        chart.dispose();
      };
    });
    return () => {
      gone = true;
      painter.current = null;
      stop();
    };
  }, []);

  const subject = {
    draw: (span: Span, pixels: number) =>
      timelineOption(timeline, { ...timelineWindow(span, theme), width: pixels }),
    known,
    width,
    height,
  };
  newest.current = () => {
    painter.current?.show(shown, moving);
    painter.current?.take(subject);
  };
  useEffect(() => painter.current?.take(subject), [timeline, theme, known, width, height]);
  useLayoutEffect(() => painter.current?.show(shown, moving), [shown]);
  return (
    <div className="time-window" style={{ left, width, height }} role="img" aria-label={label}>
      <div className="time-picture" ref={element} style={{ height }} />
    </div>
  );
}
