import { useEffect, useState, type RefObject } from 'react';

/** Width of a box, px; `before` until it is known. */
export function useWidth(box: RefObject<Element | null>, before: number): number {
  const [width, setWidth] = useState(before);
  useEffect(() => {
    if (!box.current || typeof ResizeObserver === 'undefined') return undefined;
    const watch = new ResizeObserver(([entry]) => {
      if (entry.contentRect.width > 0) setWidth(Math.round(entry.contentRect.width));
    });
    watch.observe(box.current);
    return () => watch.disconnect();
  }, [box]);
  return width;
}
