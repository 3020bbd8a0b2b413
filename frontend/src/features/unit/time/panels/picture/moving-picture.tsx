import { useEffect, useLayoutEffect, useRef } from 'react';
import { timelineWindow, type Timeline } from '../../../../../charts/timeline/option.js';
import { paintPanel, panelEdge, pictureHeight } from '../../../../../charts/timeline/painting/paint-panel.js';
import { panels, panelTops } from '../../../../../charts/timeline/panels.js';
import type { ChartTheme } from '../../../../../charts/theme.js';
import type { LiveSpan } from '../../live-span.js';
import type { Span } from '../../span.js';
import { PicturePainter } from './picture-painter.js';
import { Turns } from './turns.js';

interface MovingPictureProps {
  timeline: Timeline;
  theme: ChartTheme;
  /** How far the readings reach. */
  known: Span;
  live: LiveSpan;
  /** Where the panels lie in the chart, px. */
  left: number;
  width: number;
  height: number;
  /** What the picture shows, for people who cannot see it. */
  label: string;
}

/**
 * The lines of all panels, seen through a window and moved under it. Each panel is a picture of its own, so that
 * none of them keeps a slow machine from the next frame.
 */
export function MovingPicture({
  timeline,
  theme,
  known,
  live,
  left,
  width,
  height,
  label,
}: MovingPictureProps) {
  const pane = useRef<HTMLDivElement>(null);
  /** One for each panel. */
  const painters = useRef<readonly PicturePainter[]>([]);

  useLayoutEffect(() => {
    const turns = new Turns();
    const pictures = [...pane.current!.children] as HTMLCanvasElement[];
    painters.current = pictures.map((picture) => new PicturePainter(picture, turns));
    return () => {
      for (const painter of painters.current) painter.stop();
      painters.current = [];
    };
  }, []);

  const take = () => {
    painters.current.forEach((painter, panel) =>
      painter.take({
        paint: (canvas, span, pixels) =>
          paintPanel(canvas, timeline, panel, { ...timelineWindow(span, theme), width: pixels }),
        known,
        width,
        height: pictureHeight(panel),
      }),
    );
  };
  useEffect(take, [timeline, theme, known, width, height]);
  useLayoutEffect(() => {
    const show = (shown: Span, moving: boolean) => {
      for (const painter of painters.current) painter.show(shown, moving);
    };
    show(live.now, live.moving);
    return live.follow(show);
  }, [live]);
  const { tops } = panelTops(timeline.narrow);
  return (
    <div className="time-window" ref={pane} style={{ left, width, height }} role="img" aria-label={label}>
      {panels.map((_, panel) => (
        <canvas key={panel} className="time-picture" style={{ top: tops[panel] - panelEdge }} />
      ))}
    </div>
  );
}
