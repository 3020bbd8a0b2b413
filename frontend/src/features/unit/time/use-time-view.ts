import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { clampSpan, type Span } from './span.js';

/** A length means "up to the newest reading" and follows it; a span means a place that the reader chose. */
export type View = { length_s: number } | Span;
/** From what is asked for now to what is asked for next. */
export type Change = (asked: Span) => View;

/** Readings are fetched when a drag or a wheel has rested for this long. */
export const rest_ms = 200;

export const spanOf = (view: View, extent: Span): Span =>
  'length_s' in view
    ? clampSpan({ from_s: extent.to_s - view.length_s, to_s: extent.to_s }, extent)
    : clampSpan(view, extent);

interface Asked {
  view: View;
  /** The view that readings are fetched for: the same, or during a gesture the one before it. */
  fetched: View;
}

/**
 * Which stretch of time the chart shows. This is its only record: the buttons, the chart and the strip all change it,
 * each change starts from what was asked for last and not from what has been drawn, and new readings do not touch it.
 */
export function useTimeView(extent: Span, start: View) {
  const [asked, setAsked] = useState<Asked>({ view: start, fetched: start });
  const newest = useRef(extent);
  newest.current = extent;

  const change = useCallback((by: Change, atOnce: boolean) => {
    setAsked((before) => {
      const next = by(spanOf(before.view, newest.current));
      const view = 'length_s' in next ? next : clampSpan(next, newest.current);
      return { view, fetched: atOnce ? view : before.fetched };
    });
  }, []);
  /** A button: readings are fetched at once. */
  const press = useCallback((by: Change) => change(by, true), [change]);
  /** One step of a gesture: drawn at once, fetched when it rests. */
  const move = useCallback((by: Change) => change(by, false), [change]);

  useEffect(() => {
    if (asked.view === asked.fetched) return undefined;
    const timer = setTimeout(
      () => setAsked((before) => ({ view: before.view, fetched: before.view })),
      rest_ms,
    );
    return () => clearTimeout(timer);
  }, [asked]);

  const shown = useMemo(() => spanOf(asked.view, extent), [asked.view, extent]);
  const fetched = useMemo(() => spanOf(asked.fetched, extent), [asked.fetched, extent]);
  return { view: asked.view, shown, fetched, moving: asked.view !== asked.fetched, press, move };
}
