export interface Span {
  from_s: number;
  to_s: number;
}

/** Shortest stretch that a chart shows: one reading apart. */
export const shortest_s = 10;

/**
 * The span moved and cut so that it lies in the extent and is at least `shortest_s` long. Not rounded: on a stretch of
 * ten seconds a whole second is a tenth of the picture.
 */
export function clampSpan(span: Span, extent: Span): Span {
  const length = Math.min(Math.max(span.to_s - span.from_s, shortest_s), extent.to_s - extent.from_s);
  const from_s = Math.min(Math.max(span.from_s, extent.from_s), extent.to_s - length);
  return { from_s, to_s: from_s + length };
}

/** Moved by a fraction of its own length; negative is earlier. */
export function moved(span: Span, fraction: number): Span {
  const step = (span.to_s - span.from_s) * fraction;
  return { from_s: span.from_s + step, to_s: span.to_s + step };
}

/**
 * Shortened (factor under 1) or lengthened (over 1), not below `shortest_s`. The time `about_s` keeps its place in the
 * picture; by default that is the middle.
 */
export function scaled(span: Span, factor: number, about_s = (span.from_s + span.to_s) / 2): Span {
  const before = span.to_s - span.from_s;
  const after = Math.max(before * factor, shortest_s);
  const from_s = about_s - ((about_s - span.from_s) / before) * after;
  return { from_s, to_s: from_s + after };
}

/** The whole seconds that have to be read so that the span is covered. */
export const wholeSeconds = (span: Span): Span => ({
  from_s: Math.floor(span.from_s),
  to_s: Math.ceil(span.to_s),
});
