import { useEffect, useRef } from 'react';

interface MoreProps {
  words: string;
  loading: boolean;
  load: () => void;
}

/** The next page: loads once the reader comes to the end of what is there, or at a press. */
export function More({ words, loading, load }: MoreProps) {
  const box = useRef<HTMLParagraphElement>(null);
  const next = useRef(load);
  useEffect(() => {
    next.current = load;
  }, [load]);
  useEffect(() => {
    if (loading || !box.current || typeof IntersectionObserver === 'undefined') return undefined;
    const watch = new IntersectionObserver((entries) => {
      if (entries.some(({ isIntersecting }) => isIntersecting)) next.current();
    });
    watch.observe(box.current);
    return () => watch.disconnect();
  }, [loading]);
  return (
    <p className="round-more" ref={box}>
      <button type="button" className="button" disabled={loading} onClick={load}>
        {loading ? 'Loading …' : words}
      </button>
    </p>
  );
}
