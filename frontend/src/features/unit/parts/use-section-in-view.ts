import { useEffect, useState } from 'react';

/** The last section whose head has passed the upper third of the window: what the reader is in. */
export function useSectionInView(ids: readonly string[]): string | null {
  const [here, setHere] = useState<string | null>(null);
  useEffect(() => {
    let due = 0;
    const look = () => {
      due = 0;
      const line = window.innerHeight / 3;
      const passed = ids.filter((id) => {
        const section = document.getElementById(id);
        return section !== null && section.getBoundingClientRect().top < line;
      });
      setHere(passed.at(-1) ?? null);
    };
    const soon = () => {
      due ||= requestAnimationFrame(look);
    };
    soon();
    window.addEventListener('scroll', soon, { passive: true });
    return () => {
      cancelAnimationFrame(due);
      window.removeEventListener('scroll', soon);
    };
  }, [ids]);
  return here;
}
