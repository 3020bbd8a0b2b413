import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { LiveSpan } from './live-span.js';
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
  /** The view that readings are fetched for: the newest, or during a gesture the one before it. */
  view: View;
  /** A gesture goes on. */
  moving: boolean;
}

/**
 * Which stretch of time the chart shows. This is its only record: the buttons, the chart and the strip all change it,
 * each change starts from what was asked for last and not from what has been drawn, and new readings do not touch it.
 * The steps of a gesture are told by `live` alone; the page learns that one goes on, and where it has come to rest.
 */
export function useTimeView(extent: Span, start: View) {
  const [asked, setAsked] = useState<Asked>({ view: start, moving: false });
  const [live] = useState(() => new LiveSpan(spanOf(start, extent)));
  /** What was asked for last. */
  const newest = useRef(start);
  const all = useRef(extent);
  all.current = extent;
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(timer.current), []);

  const ask = useCallback((by: Change) => {
    clearTimeout(timer.current);
    const next = by(spanOf(newest.current, all.current));
    newest.current = 'length_s' in next ? next : clampSpan(next, all.current);
  }, []);
  const rest = useCallback(() => setAsked({ view: newest.current, moving: false }), []);
  /** A button: readings are fetched at once. */
  const press = useCallback(
    (by: Change) => {
      ask(by);
      rest();
    },
    [ask, rest],
  );
  /** One step of a gesture: shown at once, fetched when it rests. */
  const move = useCallback(
    (by: Change) => {
      ask(by);
      live.set(spanOf(newest.current, all.current), true);
      setAsked((before) => (before.moving ? before : { ...before, moving: true }));
      timer.current = setTimeout(rest, rest_ms);
    },
    [ask, rest, live],
  );

  const { view, moving } = asked;
  const fetched = useMemo(() => spanOf(view, extent), [view, extent]);
  useLayoutEffect(() => {
    if (!moving) live.set(fetched, false);
  }, [live, fetched, moving]);
  return { view, live, fetched, moving, press, move };
}
