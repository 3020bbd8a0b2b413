import { scaled, type Span } from '../span.js';

/** Where the time axis lies on the page: its left edge and its width, px. */
export interface Axis {
  left: number;
  width: number;
}

/** The time under a place on the page. */
export const timeAt = (x: number, span: Span, axis: Axis): number =>
  span.from_s + ((x - axis.left) / axis.width) * (span.to_s - span.from_s);

/** The span after a drag by `dx` px: what was under the pointer stays under it. */
export function dragged(span: Span, dx: number, axis: Axis): Span {
  const step = (-dx / axis.width) * (span.to_s - span.from_s);
  return { from_s: span.from_s + step, to_s: span.to_s + step };
}

/** Closer than this, px, two fingers are taken for one place. */
const fingersApart = 8;

/** The span after two fingers went from the places `before` to `now`: both times stay under their finger. */
export function pinched(
  span: Span,
  before: readonly [number, number],
  now: readonly [number, number],
  axis: Axis,
): Span {
  const apart = (places: readonly [number, number]) =>
    Math.max(Math.abs(places[1] - places[0]), fingersApart);
  const middle = (places: readonly [number, number]) => (places[0] + places[1]) / 2;
  const zoomed = scaled(span, apart(before) / apart(now), timeAt(middle(before), span, axis));
  return dragged(zoomed, middle(now) - middle(before), axis);
}

/** A wheel turned by this many px halves or doubles the span. */
const wheelDoubling = 400;
/** Height of a line and of a page where a wheel counts in these, px. */
const wheelUnit = [1, 16, 400];

/** Factor on the length of the span for a turn of the wheel; browsers report a turn with Shift held as a sideways one. */
export function wheelFactor(turn: { deltaX: number; deltaY: number; deltaMode: number }): number {
  const pixels = (turn.deltaY || turn.deltaX) * (wheelUnit[turn.deltaMode] ?? 1);
  return 2 ** (pixels / wheelDoubling);
}
