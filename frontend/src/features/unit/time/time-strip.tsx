import './time-strip.css';
import { useLayoutEffect, useRef, type KeyboardEvent, type PointerEvent, type RefObject } from 'react';
import { useTimes } from '../../../components/zone.js';
import type { LiveSpan } from './live-span.js';
import { shortest_s, type Span } from './span.js';
import type { Change } from './use-time-view.js';

type Part = 'start' | 'end' | 'window';

interface TimeStripProps {
  extent: Span;
  live: LiveSpan;
  move: (by: Change) => void;
}

/** The span after the named part of it was moved by `step_s`. */
export function partMoved(span: Span, part: Part, step_s: number, extent: Span): Span {
  const within = (time_s: number, from_s: number, to_s: number) => Math.min(Math.max(time_s, from_s), to_s);
  if (part === 'start')
    return { ...span, from_s: within(span.from_s + step_s, extent.from_s, span.to_s - shortest_s) };
  if (part === 'end')
    return { ...span, to_s: within(span.to_s + step_s, span.from_s + shortest_s, extent.to_s) };
  return { from_s: span.from_s + step_s, to_s: span.to_s + step_s };
}

/** An arrow key moves an end by this fraction of the span. */
const keyStep = 0.05;

/** The window is drawn at least this wide, as a fraction of the strip: else nothing of it could be seen. */
const leastPart = 0.001;

/** Puts the window and its two handles where the span lies, also while the page is not made anew. */
function usePlaced(track: RefObject<HTMLElement | null>, live: LiveSpan, { from_s, to_s }: Span): void {
  useLayoutEffect(() => {
    const place = (now: Span) => {
      const [window, start, end] = track.current!.children as unknown as HTMLElement[];
      const along = (time_s: number) => `translateX(${((time_s - from_s) / (to_s - from_s)) * 100}cqw)`;
      const part = Math.max((now.to_s - now.from_s) / (to_s - from_s), leastPart);
      window.style.transform = `${along(now.from_s)} scaleX(${part})`;
      start.style.transform = along(now.from_s);
      end.style.transform = along(now.to_s);
    };
    place(live.now);
    return live.follow(place);
  }, [track, live, from_s, to_s]);
}

/** All that can be shown as a strip, with the part that is shown as a window in it whose ends can be pulled. */
export function TimeStrip({ extent, live, move }: TimeStripProps) {
  const { instant } = useTimes();
  const track = useRef<HTMLDivElement>(null);
  const start = useRef<{ part: Part; x: number; span: Span; perPixel_s: number } | null>(null);
  const all_s = extent.to_s - extent.from_s;
  const shown = live.now;
  usePlaced(track, live, extent);

  const secondsPerPixel = () => all_s / track.current!.clientWidth;
  const down = (part: Part) => (event: PointerEvent) => {
    if (event.button !== 0) return;
    event.stopPropagation();
    // The mouse does not do it, as its own doings are kept away below.
    if (part !== 'window') (event.currentTarget as HTMLElement).focus({ preventScroll: true });
    track.current!.setPointerCapture(event.pointerId);
    start.current = { part, x: event.clientX, span: live.now, perPixel_s: secondsPerPixel() };
  };
  const downOnTrack = (event: PointerEvent) => {
    if (event.button !== 0) return;
    const left = track.current!.getBoundingClientRect().left + track.current!.clientLeft;
    const half = (live.now.to_s - live.now.from_s) / 2;
    const middle = extent.from_s + (event.clientX - left) * secondsPerPixel();
    const span = { from_s: middle - half, to_s: middle + half };
    track.current!.setPointerCapture(event.pointerId);
    start.current = { part: 'window', x: event.clientX, span, perPixel_s: secondsPerPixel() };
    move(() => span);
  };
  const moves = (event: PointerEvent) => {
    if (!start.current) return;
    const { part, x, span, perPixel_s } = start.current;
    const next = partMoved(span, part, (event.clientX - x) * perPixel_s, extent);
    move(() => next);
  };
  const up = () => {
    start.current = null;
  };
  const key = (part: 'start' | 'end') => (event: KeyboardEvent) => {
    const steps = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
    const far = { Home: -all_s, End: all_s }[event.key];
    if (steps === undefined && far === undefined) return;
    event.preventDefault();
    move((span) => partMoved(span, part, far ?? steps! * keyStep * (span.to_s - span.from_s), extent));
  };
  const handle = (part: 'start' | 'end', words: string, time_s: number) => (
    <div
      className={`time-strip-handle ${part}`}
      role="slider"
      tabIndex={0}
      aria-label={words}
      aria-valuemin={Math.round(extent.from_s)}
      aria-valuemax={Math.round(extent.to_s)}
      aria-valuenow={Math.round(time_s)}
      aria-valuetext={instant(time_s)}
      onPointerDown={down(part)}
      onKeyDown={key(part)}
    />
  );
  return (
    <div
      className="time-strip"
      ref={track}
      onPointerDown={downOnTrack}
      onPointerMove={moves}
      onPointerUp={up}
      onPointerCancel={up}
      // A browser would select the text around, and at the next drag carry the selection off instead.
      onMouseDown={(event) => event.preventDefault()}
      onDragStart={(event) => event.preventDefault()}
    >
      <div className="time-strip-window" onPointerDown={down('window')} />
      {handle('start', 'Start of the time shown', shown.from_s)}
      {handle('end', 'End of the time shown', shown.to_s)}
    </div>
  );
}
