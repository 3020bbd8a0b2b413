import type { Span } from '../../span.js';

/** How a picture that was drawn for one stretch of time lies over another: px to the right, and factor of its width. */
export interface Placing {
  shift: number;
  stretch: number;
}

/** On either side a picture is drawn further than it is seen, by this fraction of what is seen. */
export const beyond = 0.25;

export function widened({ from_s, to_s }: Span, by = beyond): Span {
  const more = (to_s - from_s) * by;
  return { from_s: from_s - more, to_s: to_s + more };
}

/**
 * Where a picture of `drawn`, `drawnWidth` px wide, has to be put so that each time in it lies where it belongs in a
 * window of `width` px that shows `shown`; px from the window's left edge.
 *
 * @example placing({ from_s: 0, to_s: 10 }, 100, { from_s: 5, to_s: 10 }, 100) // { shift: -100, stretch: 2 }
 */
export function placing(drawn: Span, drawnWidth: number, shown: Span, width: number): Placing {
  const perSecond = width / (shown.to_s - shown.from_s);
  return {
    shift: (drawn.from_s - shown.from_s) * perSecond,
    stretch: ((drawn.to_s - drawn.from_s) * perSecond) / drawnWidth,
  };
}

/** Wider or narrower than this by stretching, a picture is too coarse. */
const mostStretch = 3;

/**
 * Whether the picture of `drawn` cannot stand in for one of `shown`: it would be stretched too far, or part of what is
 * shown was not drawn though there are readings, which reach over `known`.
 */
export function isUsedUp(drawn: Span, stretch: number, shown: Span, known: Span): boolean {
  if (stretch > mostStretch || stretch < 1 / mostStretch) return true;
  return (
    Math.max(shown.from_s, known.from_s) < Math.max(drawn.from_s, known.from_s) ||
    Math.min(shown.to_s, known.to_s) > Math.min(drawn.to_s, known.to_s)
  );
}
