import { useEffect, useRef, type RefObject } from 'react';
import { dragged, pinched, timeAt, wheelFactor, type Axis } from './gestures.js';
import type { LiveSpan } from '../live-span.js';
import { scaled, type Span } from '../span.js';
import type { Change } from '../use-time-view.js';

/** A pointer that moves less than this, px, is a click. */
const clickReach = 4;

interface TimeGestures {
  live: LiveSpan;
  move: (by: Change) => void;
  /** Where the time axis lies within the box of this width, px. */
  axisOf: (width: number) => { left: number; right: number };
}

/**
 * Drag, pinch and wheel on a chart. A drag is counted from where it began, so that it goes exactly as far as the
 * pointer whatever is drawn or comes in meanwhile. The wheel alone scrolls the page; with Shift or Ctrl it zooms.
 */
export function useTimeGestures(box: RefObject<HTMLElement | null>, gestures: TimeGestures): void {
  const current = useRef(gestures);
  current.current = gestures;
  useEffect(() => {
    const element = box.current;
    return element ? listen(element, current) : undefined;
  }, [box]);
}

function listen(element: HTMLElement, current: RefObject<TimeGestures>): () => void {
  const pointers = new Map<number, number>();
  let start: { span: Span; places: number[] } | null = null;
  let dragging = false;

  const axis = (): Axis => {
    const { left, width } = element.getBoundingClientRect();
    const edges = current.current.axisOf(width);
    return { left: left + edges.left, width: width - edges.left - edges.right };
  };
  const begin = () => {
    start = pointers.size === 0 ? null : { span: current.current.live.now, places: [...pointers.values()] };
  };
  const down = (event: PointerEvent) => {
    if (event.button !== 0 || pointers.size === 2) return;
    pointers.set(event.pointerId, event.clientX);
    dragging = pointers.size === 2;
    begin();
  };
  const moves = (event: PointerEvent) => {
    if (!start || !pointers.has(event.pointerId)) return;
    // Let go of outside of the chart.
    if (event.buttons === 0) return up(event);
    pointers.set(event.pointerId, event.clientX);
    const { span, places } = start;
    const now = [...pointers.values()];
    if (!dragging && Math.abs(now[0] - places[0]) < clickReach) return;
    dragging = true;
    element.setPointerCapture(event.pointerId);
    const at = axis();
    const next =
      now.length === 2
        ? pinched(span, [places[0], places[1]], [now[0], now[1]], at)
        : dragged(span, now[0] - places[0], at);
    current.current.move(() => next);
  };
  const up = (event: PointerEvent) => {
    if (!pointers.delete(event.pointerId)) return;
    begin();
  };
  const wheel = (event: WheelEvent) => {
    if (!event.shiftKey && !event.ctrlKey) return;
    event.preventDefault();
    const at = axis();
    current.current.move((span) => scaled(span, wheelFactor(event), timeAt(event.clientX, span, at)));
  };
  // A browser would select the text around, and at the next drag carry the selection off instead.
  const keepAway = (event: Event) => event.preventDefault();
  element.addEventListener('mousedown', keepAway);
  element.addEventListener('dragstart', keepAway);
  element.addEventListener('pointerdown', down);
  element.addEventListener('pointermove', moves);
  element.addEventListener('pointerup', up);
  element.addEventListener('pointercancel', up);
  element.addEventListener('wheel', wheel, { passive: false });
  return () => {
    element.removeEventListener('mousedown', keepAway);
    element.removeEventListener('dragstart', keepAway);
    element.removeEventListener('pointerdown', down);
    element.removeEventListener('pointermove', moves);
    element.removeEventListener('pointerup', up);
    element.removeEventListener('pointercancel', up);
    element.removeEventListener('wheel', wheel);
  };
}
