import { useEffect } from 'react';

/** What the browser's tab and its history call the page. */
export function PageTitle({ children }: { children: string }) {
  useEffect(() => {
    const before = document.title;
    document.title = children;
    return () => {
      document.title = before;
    };
  }, [children]);
  return null;
}
