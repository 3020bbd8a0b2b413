import { useCallback } from 'react';

/** Lets the arrow keys (and Home, End) move between the `data-row` links of a list. */
export function useArrowKeys<T extends HTMLElement>(): (list: T | null) => (() => void) | undefined {
  return useCallback((list: T | null) => {
    if (!list) return undefined;
    const move = (event: KeyboardEvent) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const rows = [...list.querySelectorAll<HTMLElement>('[data-row]')];
      const here = rows.indexOf(document.activeElement as HTMLElement);
      if (here < 0) return;
      const next =
        event.key === 'ArrowDown'
          ? here + 1
          : event.key === 'ArrowUp'
            ? here - 1
            : event.key === 'Home'
              ? 0
              : event.key === 'End'
                ? rows.length - 1
                : null;
      if (next === null || !rows[next]) return;
      event.preventDefault();
      rows[next].focus();
      rows[next].closest('li')?.scrollIntoView({ block: 'nearest' });
    };
    list.addEventListener('keydown', move);
    return () => list.removeEventListener('keydown', move);
  }, []);
}
