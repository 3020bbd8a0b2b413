import { useEffect, useState, type RefObject } from 'react';

/** Whether the box has come near the window once: what is far down loads when it is reached. */
export function useSeen(box: RefObject<Element | null>, margin_px = 300): boolean {
  const [seen, setSeen] = useState(() => typeof IntersectionObserver === 'undefined');
  useEffect(() => {
    if (seen || !box.current) return undefined;
    const watch = new IntersectionObserver(
      (entries) => {
        if (entries.some(({ isIntersecting }) => isIntersecting)) setSeen(true);
      },
      { rootMargin: `${margin_px}px` },
    );
    watch.observe(box.current);
    return () => watch.disconnect();
  }, [box, seen, margin_px]);
  return seen;
}
