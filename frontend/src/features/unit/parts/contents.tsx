import { useEffect, useRef } from 'react';
import { useSectionInView } from './use-section-in-view.js';

const contents = [
  ['wrong', 'What is wrong'],
  ['time', 'Over time'],
  ['steady', 'Steadiness'],
  ['cycle', 'Cycle'],
  ['backup', 'Backup'],
  ['losses', 'Power losses'],
  ['sensors', 'Sensors'],
  ['history', 'Earlier'],
  ['facts', 'Data'],
] as const;

const contentIds = contents.map(([id]) => id);

/** Stays in reach at the top of the window and marks where the reader is. */
export function Contents() {
  const here = useSectionInView(contentIds);
  const list = useRef<HTMLUListElement>(null);
  useEffect(() => {
    const link = list.current?.querySelector<HTMLElement>('[aria-current]');
    // Only sideways, within the list: the page itself must not move.
    if (link && list.current) list.current.scrollTo({ left: link.offsetLeft - list.current.offsetLeft - 24 });
  }, [here]);
  return (
    <nav className="contents" aria-label="On this page">
      <ul ref={list}>
        {contents.map(([id, words]) => (
          <li key={id}>
            <a href={`#${id}`} aria-current={here === id ? 'location' : undefined}>
              {words}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
