import { useEffect, useState, type RefObject } from 'react';
import { timelineWindow, type Timeline } from '../../../../charts/timeline/option.js';
import { panelSides, panelTops } from '../../../../charts/timeline/panels.js';
import { readoutAt } from '../../../../charts/timeline/readout.js';
import type { ChartTheme } from '../../../../charts/theme.js';
import type { Span } from '../span.js';

interface CursorProps {
  /** The chart that the pointer is over. */
  box: RefObject<HTMLElement | null>;
  timeline: Timeline;
  theme: ChartTheme;
  /** Null while the chart is moved. */
  shown: Span | null;
  /** Of the whole chart, px. */
  width: number;
}

interface Place {
  x: number;
  y: number;
}

/** Where the pointer rests over a chart, px from its corner; null while it is away or drags. */
function usePointer(box: RefObject<HTMLElement | null>): Place | null {
  const [place, setPlace] = useState<Place | null>(null);
  useEffect(() => {
    const element = box.current;
    if (!element) return undefined;
    let frame = 0;
    const put = (next: Place | null) => {
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(() => setPlace(next));
    };
    const over = (event: PointerEvent | MouseEvent) => {
      const { left, top } = element.getBoundingClientRect();
      put({ x: event.clientX - left, y: event.clientY - top });
    };
    const moves = (event: PointerEvent) => {
      if (event.buttons !== 0 || event.pointerType === 'touch') return put(null);
      over(event);
    };
    const away = () => put(null);
    element.addEventListener('pointermove', moves);
    element.addEventListener('pointerdown', away);
    element.addEventListener('pointerleave', away);
    // A finger has no place before it taps.
    element.addEventListener('click', over);
    return () => {
      cancelAnimationFrame(frame);
      element.removeEventListener('pointermove', moves);
      element.removeEventListener('pointerdown', away);
      element.removeEventListener('pointerleave', away);
      element.removeEventListener('click', over);
    };
  }, [box]);
  return place;
}

/** Further from the pointer than this, px, no reading is named. */
const reach = 40;
/** Between the cursor and the words beside it, px. */
const apart = 14;
/** Room that the words take at most, px. */
const room = 230;

/** An upright through all panels at the reading nearest to the pointer, with what each line shows there. */
export function Cursor({ box, timeline, theme, shown, width }: CursorProps) {
  const pointer = usePointer(box);
  if (!pointer || !shown) return null;
  const { left, right } = panelSides(timeline.narrow);
  const { tops, height } = panelTops(timeline.narrow);
  const across = width - left - right;
  if (pointer.x < left || pointer.x > left + across || pointer.y < tops[0]) return null;
  const { from, to } = timelineWindow(shown, theme);
  const perPixel = (to - from) / across;
  const units = timeline.panels.map(({ unit }) => unit);
  const read = readoutAt(timeline.lines, from + (pointer.x - left) * perPixel, reach * perPixel, units);
  if (!read) return null;
  const x = left + (read.at - from) / perPixel;
  // On a narrow page there is room on neither side: then over the cursor.
  const toLeft = x + apart + room > width && x - apart >= room;
  return (
    <>
      {x >= left && x <= left + across && (
        <div className="time-cursor" style={{ left: x, top: tops[0], height: height - tops[0] - 30 }} />
      )}
      <div
        className="time-readout"
        style={{
          top: Math.min(pointer.y + apart, height - 30 * read.rows.length),
          ...(toLeft
            ? { right: width - x + apart }
            : { left: Math.max(0, Math.min(x + apart, width - room)) }),
        }}
      >
        <strong>{read.time}</strong>
        <table>
          <tbody>
            {read.rows.map(({ name, color, dashed, value }) => (
              <tr key={name}>
                <td>
                  <i style={{ borderTop: `2px ${dashed ? 'dashed' : 'solid'} ${color}` }} /> {name}
                </td>
                <td>{value}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
