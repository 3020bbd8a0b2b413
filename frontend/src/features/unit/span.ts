export interface Span {
  from_s: number;
  to_s: number;
}

/** Shortest stretch that a chart shows: one reading apart. */
export const shortest_s = 10;

/** The span moved and cut so that it lies in the extent and is at least `shortest_s` long. */
export function clampSpan(span: Span, extent: Span): Span {
  const length = Math.min(Math.max(span.to_s - span.from_s, shortest_s), extent.to_s - extent.from_s);
  const from = Math.min(Math.max(span.from_s, extent.from_s), extent.to_s - length);
  return { from_s: Math.floor(from), to_s: Math.ceil(from + length) };
}

/** Moved by a share of its own length; negative is earlier. */
export function moved(span: Span, share: number): Span {
  const step = (span.to_s - span.from_s) * share;
  return { from_s: span.from_s + step, to_s: span.to_s + step };
}

/** Shortened (under 1) or lengthened (over 1) about its middle. */
export function scaled(span: Span, factor: number): Span {
  const middle = (span.from_s + span.to_s) / 2;
  const half = Math.max(((span.to_s - span.from_s) * factor) / 2, shortest_s / 2);
  return { from_s: middle - half, to_s: middle + half };
}
